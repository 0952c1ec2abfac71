package mapping

import (
	"context"
	"errors"
	"io"
	"runtime"

	"cellwall/mapping/cores"
)

// eachScan runs work for scans 0 to n-1, as many at once as there are cores,
// and returns the results in order, or the error of the first scan that has
// one: a scan in error stops those after it, never those before, so the same
// input gives the same error.
func eachScan(ctx context.Context, n int, work func(context.Context, int) (*scan, error)) ([]*scan, error) {
	results, errs := make([]*scan, n), make([]error, n)
	ctxs, cancels := make([]context.Context, n), make([]context.CancelFunc, n)
	for i := range n {
		ctxs[i], cancels[i] = context.WithCancel(ctx)
		defer cancels[i]()
	}
	cores.Each(n, func(i int) {
		if errs[i] = ctxs[i].Err(); errs[i] == nil {
			results[i], errs[i] = work(ctxs[i], i)
		}
		if errs[i] != nil {
			for _, cancel := range cancels[i+1:] {
				cancel()
			}
		}
	})
	for _, err := range errs {
		if err != nil {
			return nil, err
		}
	}
	return results, nil
}

// inFlight bounds the pieces of all scans that are in memory at a time.
var inFlight = make(chan struct{}, 2*runtime.GOMAXPROCS(0))

// inOrder works on every item that next yields until io.EOF, on all cores at
// once, and hands the results to take one by one in the order of the items.
func inOrder[I, R any](ctx context.Context, next func() (I, error), work func(I) R, take func(R)) error {
	queue := make(chan chan R, cap(inFlight))
	taken := make(chan struct{})
	go func() {
		defer close(taken)
		for result := range queue {
			take(<-result)
			<-inFlight
		}
	}()
	defer func() { close(queue); <-taken }()
	for {
		select {
		case <-ctx.Done():
			return ctx.Err()
		case inFlight <- struct{}{}:
		}
		item, err := next()
		if err == nil {
			err = ctx.Err()
		}
		if err != nil {
			<-inFlight
			if errors.Is(err, io.EOF) {
				return nil
			}
			return err
		}
		result := make(chan R, 1)
		queue <- result
		go func() { result <- work(item) }()
	}
}
