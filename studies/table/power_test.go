package table

import (
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"runtime/debug"
	"slices"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"onegrain/studies/column"
	"onegrain/studies/disk/trial"
)

// saga is a results folder through several commands, each of which may lose its power at any
// operation of the disk.
type saga struct {
	disk  *trial.Memory
	r     *rand.Rand
	clock int64

	version int // of the study: the first case is in all, the others are in one

	acked    map[runKey]bool // runs whose part of runs was published: never to be lost
	failures int             // lines of failures.jsonl that were acknowledged
	fields   map[string]bool // volumes likewise
}

var errDark = errors.New("the power is gone")

const (
	historyCases      = 2
	historyReplicates = 2
)

func caseName(i int) string { return fmt.Sprintf("%016x", 17*i+3) }

func (h *saga) caseName(i int) string { return caseName(i * (1 + h.version)) }

func (h *saga) own(id string) bool {
	for i := range historyCases {
		if h.caseName(i) == id {
			return true
		}
	}
	return false
}

func (h *saga) text() []byte { return fmt.Appendf(nil, "title = \"version %d\"\n", h.version) }

func (*saga) draws([]byte) string { return "seed 1" }

// rowsOfRun are what a run has to tell: the same whoever runs it.
func rowsOfRun(table string, key runKey) (rows [][]any) {
	id, k := key.id, key.replicate
	n := int64(id[15]) + 3*k
	switch table {
	case "runs":
		row := make([]any, 7)
		row[0], row[1], row[2], row[3], row[4] = id, k, "solid", n%2 == 0, float64(n)/7
		return [][]any{row}
	case "grains":
		for g := int64(1); g <= 1+n%3; g++ {
			row := []any{id, k, g, "melt"}
			rows = append(rows, append(row, float64(n)+float64(g)/3))
		}
	}
	return rows
}

// thin is the schema of a table with a few of its columns, which halves the time of a history: the
// disk does not know how many there are.
func thin(table string) (column.Schema, error) {
	s, err := column.Of(table, nil)
	few := map[string][]string{
		"runs":       {"case_id", "replicate", "status", "single_grain", "clear_diameter_mm", "solid_fraction", "wall_s"},
		"grains":     {"case_id", "replicate", "grain", "origin", "born_h"},
		"cases":      {"case_id", "runs", "single_grain_runs", "stopped_by"},
		"boundaries": {"case_id", "replicate", "grain_1"},
	}
	s.Columns = slices.DeleteFunc(s.Columns, func(c column.Column) bool {
		return few[table] != nil && !slices.Contains(few[table], c.Name)
	})
	return s, err
}

func frameOf(table string, keys ...runKey) (*Frame, error) {
	s, err := thin(table)
	if err != nil {
		return nil, err
	}
	f := NewFrame(s)
	for _, k := range keys {
		for _, row := range rowsOfRun(table, k) {
			if err := f.Append(row...); err != nil {
				return nil, err
			}
		}
	}
	return f, nil
}

func (h *saga) casesFrame(counted map[string]int) (*Frame, error) {
	s, err := thin("cases")
	if err != nil {
		return nil, err
	}
	f := NewFrame(s)
	for i := range historyCases {
		row := make([]any, len(s.Columns))
		n := counted[h.caseName(i)]
		row[0], row[1], row[2], row[s.Index("stopped_by")] = h.caseName(i), n, n/2, "replicates"
		if n < historyReplicates {
			row[s.Index("stopped_by")] = "interrupted"
		}
		if err := f.Append(row...); err != nil {
			return nil, err
		}
	}
	return f, nil
}

// command does what one command does to the folder, until the disk fails.
func (h *saga) command(d *trial.Failing, kind int) error {
	if kind == 0 {
		f, err := Open("out/r", d)
		if err != nil {
			return err
		}
		return f.Merge(nil)
	}
	h.clock++
	p := Provenance{Version: "1", ModelVersion: "m", Command: "run", Start: time.Unix(h.clock, 0)}
	if kind == 1 {
		p.Shard = "1/2"
	}
	f, err := Create("out/r", h.text(), h.draws, p, d)
	if err != nil {
		return err
	}
	if _, err := f.Missing(); err != nil {
		return err
	}
	done, _, _, err := f.Recall(h.own)
	if err != nil {
		return err
	}
	counted, err := h.batches(f, done)
	if err != nil {
		return err
	}
	if err := h.extras(f); err != nil {
		return err
	}
	return h.finishSession(f, counted, kind == 1, p.Start)
}

// batches adds what is not done, a few runs at a time, in any order.
func (h *saga) batches(f *Folder, done *Frame) (counted map[string]int, err error) {
	counted = map[string]int{}
	have := map[runKey]bool{}
	for r := range done.Len() {
		have[done.key(r)] = true
		counted[done.key(r).id]++
	}
	var waiting []runKey
	for i := range historyCases {
		for k := int64(1); k <= historyReplicates; k++ {
			if key := (runKey{h.caseName(i), k}); !have[key] {
				waiting = append(waiting, key)
			}
		}
	}
	h.r.Shuffle(len(waiting), func(i, j int) { waiting[i], waiting[j] = waiting[j], waiting[i] })
	for len(waiting) > 0 {
		batch := waiting[:1+h.r.IntN(min(5, len(waiting)))]
		waiting = waiting[len(batch):]
		for _, table := range []string{"grains", "runs"} {
			rows, err := frameOf(table, batch...)
			if err != nil {
				return nil, err
			}
			if _, err := f.Add(rows); err != nil {
				return nil, err
			}
		}
		for _, key := range batch {
			h.acked[key] = true
			counted[key.id]++
		}
	}
	return counted, nil
}

// extras are failures and volumes, now and then.
func (h *saga) extras(f *Folder) error {
	if h.r.IntN(3) == 0 {
		if err := f.Fail(Failure{CaseID: h.caseName(h.r.IntN(2)), Replicate: h.failures + 1, Error: "x"}); err != nil {
			return err
		}
		h.failures++
	}
	if h.r.IntN(3) == 0 {
		name := fmt.Sprintf("%s-%d.vti", h.caseName(h.r.IntN(2)), h.r.IntN(3))
		if err := f.AddVolume(name, func(w io.Writer) error { return writeAll(w, volumeText) }); err != nil {
			return err
		}
		h.fields[name] = true
	}
	return nil
}

const volumeText = "<VTKFile>a volume</VTKFile>"

func writeAll(w io.Writer, text string) error {
	_, err := io.WriteString(w, text)
	return err
}

func (h *saga) finishSession(f *Folder, counted map[string]int, shard bool, end time.Time) error {
	all, err := h.casesFrame(counted)
	if err != nil {
		return err
	}
	if shard {
		_, err = f.Add(all)
	} else {
		err = f.Put(all)
	}
	if err != nil {
		return err
	}
	if name := "boundaries"; !shard {
		s, err := thin(name)
		if err != nil {
			return err
		}
		if err := f.Complete(s); err != nil {
			return err
		}
	}
	return f.Seal(end)
}

// play goes through a history and tells what is wrong with it.
func (h *saga) play(hashes []string) error {
	for cuts := 1 + h.r.IntN(3); cuts > 0; cuts-- {
		kind := h.r.IntN(5) // one in five merges, one in five is a shard
		cut := 1 + h.r.IntN([]int{80, 180, 180, 180, 180}[kind])
		h.version += h.r.IntN(6) / 5 // now and then the study is another
		d := &trial.Failing{Disk: h.disk, Fail: func(n int, _, _ string) error {
			if n >= cut {
				return errDark
			}
			return nil
		}}
		var none absent
		if err := h.command(d, kind); err != nil && !errors.Is(err, errDark) && !(kind == 0 && errors.As(err, &none)) {
			return fmt.Errorf("before the cut at operation %d: %w", cut, err)
		}
		h.disk = h.disk.PowerLoss(h.r)
		if err := h.look(h.r.IntN(4) == 0); err != nil {
			return fmt.Errorf("after a cut at operation %d of command %d: %w", cut, kind, err)
		}
	}
	calm := func() *trial.Failing {
		return &trial.Failing{Disk: h.disk, Fail: func(int, string, string) error { return nil }}
	}
	h.version += h.r.IntN(6) / 5
	if err := h.command(calm(), 2); err != nil {
		return fmt.Errorf("last command: %w", err)
	}
	if h.r.IntN(2) == 0 {
		if err := h.command(calm(), 0); err != nil {
			return fmt.Errorf("last merge: %w", err)
		}
	}
	if err := h.look(true); err != nil {
		return fmt.Errorf("at the end: %w", err)
	}
	f, err := Open("out/r", h.disk)
	if err != nil {
		return err
	}
	if got, err := f.ContentHash(); err != nil || got != hashes[h.version] {
		return fmt.Errorf("content %s (%v), wanted %s", got, err, hashes[h.version])
	}
	return nil
}

func newSaga(seed uint64, d *trial.Memory) *saga {
	return &saga{disk: d, r: rand.New(rand.NewPCG(seed, 41)), acked: map[runKey]bool{}, fields: map[string]bool{}}
}

// undisturbed is the hash of a folder that nothing has happened to.
func undisturbed(t *testing.T, version int) string {
	t.Helper()
	h := newSaga(0, trial.NewMemory())
	h.version = version
	if err := h.command(&trial.Failing{Disk: h.disk, Fail: func(int, string, string) error { return nil }},
		2); err != nil {
		t.Fatal(err)
	}
	return must[string](t)(must[*Folder](t)(Open("out/r", h.disk)).ContentHash())
}

// undisturbedAll are those of all versions that a history may come to.
func undisturbedAll(t *testing.T) (all []string) {
	for version := range 5 {
		all = append(all, undisturbed(t, version))
	}
	return all
}

// TestPowerLoss plays histories, numbered so that one that goes wrong can be played again alone.
func TestPowerLoss(t *testing.T) {
	hashes := undisturbedAll(t)
	defer debug.SetGCPercent(debug.SetGCPercent(1000)) // a history leaves much behind and keeps nothing
	n := uint64(trial.Amount(25, 20_000, 1_000_000))
	var next atomic.Uint64
	var group sync.WaitGroup
	for range 2 {
		group.Go(func() {
			for seed := next.Add(1); seed <= n && !t.Failed(); seed = next.Add(1) {
				if err := newSaga(seed, trial.NewMemory()).play(hashes); err != nil {
					t.Errorf("history %d: %v", seed, err)
				}
				if trial.Stage(int(seed), int(n)) {
					t.Logf("%d of %d", seed, n)
				}
			}
		})
	}
	group.Wait()
	t.Logf("%d histories of power loss", n)
}

// Canaries: a disk on which syncing a file, or a folder, does nothing must be noticed.
func TestPowerLossIsSeenWhereNothingIsSynced(t *testing.T) {
	hashes := undisturbedAll(t)
	for name, d := range map[string]func() *trial.Memory{
		"files":   func() *trial.Memory { m := trial.NewMemory(); m.LazyFiles = true; return m },
		"folders": func() *trial.Memory { m := trial.NewMemory(); m.LazyFolders = true; return m },
	} {
		noticed := 0
		for seed := range uint64(15) {
			if newSaga(seed, d()).play(hashes) != nil {
				noticed++
			}
		}
		if noticed < 5 {
			t.Errorf("%s are never synced, and only %d of 15 histories notice", name, noticed)
		}
	}
}
