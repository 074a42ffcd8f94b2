package border

import (
	"strconv"
	"sync"
	"testing"
)

// A memo makes a value once, stays small, and holds up nobody while one is made.
func TestMemo(t *testing.T) {
	var m memo[int]
	made := 0
	for i := range 1000 {
		for range 2 {
			if got := m.get(strconv.Itoa(i), func() int { made++; return i }); got != i {
				t.Fatalf("%d, wanted %d", got, i)
			}
		}
		known := 0
		m.known.Range(func(any, any) bool { known++; return true })
		if known > mostKnown {
			t.Fatalf("%d values are remembered, wanted %d at most", known, mostKnown)
		}
	}
	if made != 1000 {
		t.Errorf("1000 values were made %d times", made)
	}
	var wait sync.WaitGroup
	inside, out := make(chan bool), make(chan bool)
	wait.Go(func() { m.get("slow", func() int { inside <- true; <-out; return 1 }) })
	<-inside
	if got := m.get("quick", func() int { return 2 }); got != 2 { // would wait for ever under one lock
		t.Error(got)
	}
	if got := m.get("slow", func() int { return 3 }); got != 3 {
		t.Error(got)
	}
	close(out)
	wait.Wait()
	if got := m.get("slow", func() int { return 4 }); got != 3 {
		t.Errorf("the first value was given out as 3, and then %d", got)
	}
}
