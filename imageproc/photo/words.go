package photo

import "fmt"

func megabytes(n int64) string {
	switch {
	case n < 10_000:
		return fmt.Sprintf("%d bytes", n)
	case n < 1_000_000:
		return fmt.Sprintf("%d kB", (n+500)/1000)
	}
	return fmt.Sprintf("%d MB", (n+500_000)/1_000_000)
}

func million(n int64) string {
	if n < 10_000_000 {
		return fmt.Sprintf("%d pixels", n)
	}
	return fmt.Sprintf("%d million", n/1_000_000)
}

// aKind returns kind with its article, to begin a sentence.
func aKind(kind string) string {
	switch kind {
	case kindAVIF:
		return "An AVIF picture"
	case kindHEIC, kindJXL, kindJP2:
		return "A " + kind + " picture"
	case kindSVG:
		return "An " + kind
	}
	return "A " + kind
}
