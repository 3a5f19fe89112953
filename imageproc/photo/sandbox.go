package photo

import (
	"bytes"
	"compress/gzip"
	"context"
	"errors"
	"fmt"
	"io"
	"runtime"

	"github.com/tetratelabs/wazero"
	"github.com/tetratelabs/wazero/api"
	"github.com/tetratelabs/wazero/experimental"
	"github.com/tetratelabs/wazero/imports/wasi_snapshot_preview1"
)

// Decoders of HEIC and AVIF are C programs compiled to WebAssembly. They run
// in a sandbox: no files, no network, no output, a memory that is not the
// program's own and has an end. Whatever they do wrong comes back as an error.

var (
	errSandboxMemory = errors.New("photo: decoder wants more memory than it may have")
	errSandbox       = errors.New("photo: decoder found the picture wrong")
	errEngine        = errors.New("photo: decoder does not run on this machine")
)

// engine is one compiled decoder. It is made at first use, which takes some
// 0.2 s, and serves any number of goroutines.
type engine struct {
	runtime wazero.Runtime
	code    wazero.CompiledModule
	slots   chan struct{} // one for each decoder that may run at a time
}

// newEngine compiles a decoder from its packed bytes.
func newEngine(packed []byte, slots int) (e *engine, err error) {
	defer func() {
		if r := recover(); r != nil { // as where the system lends no memory for code
			err = fmt.Errorf("%v", r)
		}
		if err != nil {
			e, err = nil, fmt.Errorf("%w: %w", errEngine, err)
		}
	}()
	z, err := gzip.NewReader(bytes.NewReader(packed))
	if err != nil {
		return nil, err
	}
	code, err := io.ReadAll(z)
	if err != nil {
		return nil, err
	}
	ctx := context.Background()
	e = &engine{runtime: wazero.NewRuntime(ctx), slots: make(chan struct{}, slots)}
	if _, err := wasi_snapshot_preview1.Instantiate(ctx, e.runtime); err != nil {
		return nil, err
	}
	ctx = experimental.WithCompilationWorkers(ctx, engineSlots())
	if e.code, err = e.runtime.CompileModule(ctx, code); err != nil {
		return nil, err
	}
	return e, nil
}

// engineSlots is how many decoders of small tiles run at a time.
func engineSlots() int { return max(1, min(runtime.GOMAXPROCS(0), 4)) }

// run calls f with a fresh sandbox of at most limit bytes, of which reserve are
// set aside at once. A call into WebAssembly cannot be stopped from outside
// (checks for it cost five times the time), so when ctx ends run returns at once
// and f ends by itself later; until then it keeps its slot, so that opening and
// stopping many files never heaps up decoders. What f returns is lost then.
func (e *engine) run(ctx context.Context, reserve, limit int64, f func(*sandbox) error) error {
	select {
	case e.slots <- struct{}{}:
	case <-ctx.Done():
		return ctx.Err()
	}
	done := make(chan error, 1)
	go func() {
		defer func() {
			if r := recover(); r != nil {
				done <- fmt.Errorf("%w: %v", errSandbox, r)
			}
			<-e.slots
		}()
		done <- e.within(reserve, limit, f)
	}()
	select {
	case err := <-done:
		return err
	case <-ctx.Done():
		return ctx.Err()
	}
}

func (e *engine) within(reserve, limit int64, f func(*sandbox) error) error {
	mem := &sandboxMemory{reserve: uint64(min(reserve, limit)), limit: uint64(limit)}
	ctx := experimental.WithMemoryAllocator(context.Background(),
		experimental.MemoryAllocatorFunc(func(_, _ uint64) experimental.LinearMemory { return mem }))
	// Without a name the same code can be there many times; without further
	// settings it has no output, no input, no clock and no files.
	mod, err := e.runtime.InstantiateModule(ctx, e.code, wazero.NewModuleConfig().WithName(""))
	if err != nil {
		if mem.refused {
			return errSandboxMemory
		}
		return fmt.Errorf("photo: starting a decoder: %w", err)
	}
	defer mod.Close(ctx)
	err = f(&sandbox{ctx: ctx, mod: mod})
	if mem.refused && err != nil {
		return errSandboxMemory
	}
	return err
}

// sandbox is one running decoder.
type sandbox struct {
	ctx context.Context
	mod api.Module
}

// call calls an exported function and returns its result, if it has one.
func (s *sandbox) call(name string, args ...uint64) (uint64, error) {
	f := s.mod.ExportedFunction(name)
	if f == nil {
		return 0, fmt.Errorf("%w: no function %s", errSandbox, name)
	}
	out, err := f.Call(s.ctx, args...)
	if err != nil {
		return 0, fmt.Errorf("%w: %w", errSandbox, err)
	}
	if len(out) == 0 {
		return 0, nil
	}
	return out[0], nil
}

// alloc returns the place of n bytes inside the sandbox.
func (s *sandbox) alloc(n int64) (uint32, error) {
	at, err := s.call("malloc", uint64(n))
	if err != nil {
		return 0, err
	}
	if uint32(at) == 0 {
		return 0, errSandboxMemory
	}
	return uint32(at), nil
}

// put copies data into the sandbox and returns its place.
func (s *sandbox) put(data []byte) (uint32, error) {
	at, err := s.alloc(int64(len(data)))
	if err != nil {
		return 0, err
	}
	if !s.mod.Memory().Write(at, data) {
		return 0, errSandbox
	}
	return at, nil
}

// view returns n bytes of the sandbox's memory without copying them. They are
// valid until the sandbox ends or runs on; whoever keeps them past its end
// keeps the whole memory.
func (s *sandbox) view(at uint32, n int64) ([]byte, error) {
	if n < 0 || n > 1<<32-1 {
		return nil, errSandbox
	}
	b, ok := s.mod.Memory().Read(at, uint32(n))
	if !ok {
		return nil, errSandbox
	}
	return b, nil
}

// numbers reads n little-endian 32-bit numbers.
func (s *sandbox) numbers(at uint32, n int) ([]uint32, error) {
	out := make([]uint32, n)
	for i := range out {
		v, ok := s.mod.Memory().ReadUint32Le(at + 4*uint32(i))
		if !ok {
			return nil, errSandbox
		}
		out[i] = v
	}
	return out, nil
}

// sandboxMemory is a sandbox's memory. What is set aside costs nothing until
// it is written to; it spares copying while the memory grows.
type sandboxMemory struct {
	b              []byte
	reserve, limit uint64
	refused        bool
}

// Reallocate implements experimental.LinearMemory; nil tells the decoder that
// there is no more.
func (m *sandboxMemory) Reallocate(size uint64) []byte {
	if size > m.limit {
		m.refused = true
		return nil
	}
	if size > uint64(cap(m.b)) {
		room := make([]byte, len(m.b), max(size, m.reserve, min(size+size/4, m.limit)))
		copy(room, m.b)
		m.b = room
	}
	m.b = m.b[:size]
	return m.b
}

// Free implements experimental.LinearMemory.
func (m *sandboxMemory) Free() { m.b = nil }
