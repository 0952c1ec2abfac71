package mapping

import (
	"os"
	"sync"

	"cellwall/mapping/cell"
)

// watch adds up how much of all the scans' files has been read and tells.
type watch struct {
	tell  func(done, total int64)
	mu    sync.Mutex
	size  []int64 // of each file, bytes
	done  []int64
	total int64
}

func newWatch(c *cell.Cell, tell func(done, total int64)) *watch {
	w := &watch{tell: tell, size: make([]int64, len(c.Scans)), done: make([]int64, len(c.Scans))}
	for i := range c.Scans {
		if info, err := os.Stat(c.Path(c.Scans[i].Points)); err == nil { // opening it will say what is wrong
			w.size[i] = info.Size()
			w.total += info.Size()
			if c.Scans[i].Rough != nil {
				w.total += info.Size()
			}
		}
	}
	return w
}

// of returns the function that takes note of the part of scan i read so far.
func (w *watch) of(i int) func(part float64) { return w.from(i, 0) }

// from is of for a reading that begins when so many bytes of the file have been
// read before: a rough scan is read twice.
func (w *watch) from(i int, before int64) func(part float64) {
	return func(part float64) {
		if w.tell == nil {
			return
		}
		w.mu.Lock()
		defer w.mu.Unlock()
		w.done[i] = before + int64(part*float64(w.size[i]))
		var done int64
		for _, d := range w.done {
			done += d
		}
		w.tell(done, w.total)
	}
}
