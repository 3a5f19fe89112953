package main

import (
	"net"
	"testing"
	"time"
)

// narrow is a line between a client and a server: of a rate in bytes a second
// in each direction, and with a delay there and back. It returns the address to
// connect to. Like any line it holds some of what it is given, and then takes no
// more.
func narrow(t *testing.T, server string, rate float64, trip time.Duration) string {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = l.Close() })
	go func() {
		for {
			near, err := l.Accept()
			if err != nil {
				return
			}
			far, err := net.Dial("tcp", server)
			if err != nil {
				_ = near.Close()
				continue
			}
			go carry(near, far, rate, trip/2)
			go carry(far, near, rate, trip/2)
		}
	}()
	return l.Addr().String()
}

// carry brings what from says to to, at a rate and later by delay.
func carry(to, from net.Conn, rate float64, delay time.Duration) {
	type piece struct {
		data []byte
		due  time.Time
	}
	queue := make(chan piece, 32) // of up to 1400 bytes
	go func() {
		defer close(queue)
		free := time.Now()
		for {
			data := make([]byte, 1400)
			n, err := from.Read(data)
			if n > 0 {
				if now := time.Now(); free.Before(now) {
					free = now
				}
				free = free.Add(time.Duration(float64(n) / rate * float64(time.Second)))
				time.Sleep(time.Until(free)) // on its way for so long
				queue <- piece{data[:n], free.Add(delay)}
			}
			if err != nil {
				return
			}
		}
	}()
	broken := false
	for p := range queue {
		time.Sleep(time.Until(p.due))
		if !broken {
			_, err := to.Write(p.data)
			broken = err != nil
		}
	}
	_ = to.Close()
	_ = from.Close()
}
