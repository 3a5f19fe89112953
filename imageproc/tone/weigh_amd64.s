//go:build !purego

#include "textflag.h"

// A pair is 56 bytes: the slice a at 0, the slice b at 24, w at 48.

// TERM adds w (a + b) of four samples at the byte offset off to acc.
#define TERM(off, tmp, acc) \
	MOVUPS off(R10)(AX*1), tmp; \
	MOVUPS off(R11)(AX*1), X9;  \
	ADDPS  X9, tmp;             \
	MULPS  X8, tmp;             \
	ADDPS  tmp, acc

// NEXT loads the pair at R8: rows to R10 and R11, w to all of X8.
#define NEXT \
	MOVQ   0(R8), R10;  \
	MOVQ   24(R8), R11; \
	MOVSS  48(R8), X8;  \
	SHUFPS $0, X8, X8

// func weigh(dst []float32, pairs []pair)
TEXT ·weigh(SB), NOSPLIT, $0-48
	MOVQ dst_base+0(FP), DI
	MOVQ dst_len+8(FP), CX
	MOVQ pairs_base+24(FP), SI
	MOVQ pairs_len+32(FP), DX
	XORQ AX, AX

sixteen:
	CMPQ  CX, $16
	JLT   four
	XORPS X0, X0
	XORPS X1, X1
	XORPS X2, X2
	XORPS X3, X3
	MOVQ  SI, R8
	MOVQ  DX, R9
	TESTQ R9, R9
	JZ    store16

pair16:
	NEXT
	TERM(0, X4, X0)
	TERM(16, X5, X1)
	TERM(32, X6, X2)
	TERM(48, X7, X3)
	ADDQ $56, R8
	DECQ R9
	JNZ  pair16

store16:
	MOVUPS X0, (DI)(AX*1)
	MOVUPS X1, 16(DI)(AX*1)
	MOVUPS X2, 32(DI)(AX*1)
	MOVUPS X3, 48(DI)(AX*1)
	ADDQ   $64, AX
	SUBQ   $16, CX
	JMP    sixteen

four:
	CMPQ  CX, $4
	JLT   one
	XORPS X0, X0
	MOVQ  SI, R8
	MOVQ  DX, R9
	TESTQ R9, R9
	JZ    store4

pair4:
	NEXT
	TERM(0, X4, X0)
	ADDQ $56, R8
	DECQ R9
	JNZ  pair4

store4:
	MOVUPS X0, (DI)(AX*1)
	ADDQ   $16, AX
	SUBQ   $4, CX
	JMP    four

one:
	TESTQ CX, CX
	JZ    done
	XORPS X0, X0
	MOVQ  SI, R8
	MOVQ  DX, R9
	TESTQ R9, R9
	JZ    store1

pair1:
	MOVQ  0(R8), R10
	MOVQ  24(R8), R11
	MOVSS (R10)(AX*1), X4
	ADDSS (R11)(AX*1), X4
	MULSS 48(R8), X4
	ADDSS X4, X0
	ADDQ  $56, R8
	DECQ  R9
	JNZ   pair1

store1:
	MOVSS X0, (DI)(AX*1)
	ADDQ  $4, AX
	DECQ  CX
	JMP   one

done:
	RET

// func splitFours(even, odd, line []float32) int
TEXT ·splitFours(SB), NOSPLIT, $0-80
	MOVQ even_base+0(FP), DI
	MOVQ even_len+8(FP), CX
	MOVQ odd_base+24(FP), R8
	MOVQ line_base+48(FP), SI
	ANDQ $~3, CX
	MOVQ CX, ret+72(FP)
	XORQ AX, AX

splitLoop:
	CMPQ   AX, CX
	JGE    splitDone
	MOVUPS (SI)(AX*8), X0
	MOVUPS 16(SI)(AX*8), X1
	MOVAPS X0, X2
	SHUFPS $0x88, X1, X0
	SHUFPS $0xdd, X1, X2
	MOVUPS X0, (DI)(AX*4)
	MOVUPS X2, (R8)(AX*4)
	ADDQ   $4, AX
	JMP    splitLoop

splitDone:
	RET

// func weaveFours(dst, even, odd []float32) int
TEXT ·weaveFours(SB), NOSPLIT, $0-80
	MOVQ dst_base+0(FP), DI
	MOVQ even_base+24(FP), SI
	MOVQ even_len+32(FP), CX
	MOVQ odd_base+48(FP), R8
	ANDQ $~3, CX
	MOVQ CX, ret+72(FP)
	XORQ AX, AX

weaveLoop:
	CMPQ     AX, CX
	JGE      weaveDone
	MOVUPS   (SI)(AX*4), X0
	MOVUPS   (R8)(AX*4), X1
	MOVAPS   X0, X2
	UNPCKLPS X1, X0
	UNPCKHPS X1, X2
	MOVUPS   X0, (DI)(AX*8)
	MOVUPS   X2, 16(DI)(AX*8)
	ADDQ     $4, AX
	JMP      weaveLoop

weaveDone:
	RET
