package table

import (
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"runtime/debug"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"onegrain/studies/disk/trial"
)

// saga is a results folder through several commands, each of which may lose its power at any operation of the disk.
type saga struct {
	disk  *trial.Memory
	r     *rand.Rand
	text  string // the study
	clock int64

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

// thin is the schema of a table with a few of its columns, which halves the time of a history: the disk does not know how many there are.
func thin(table string) (Schema, error) {
	s, err := Of(table, nil)
	few := map[string][]string{
		"runs":       {"case_id", "replicate", "status", "single_grain", "clear_diameter_mm", "solid_fraction", "wall_s"},
		"grains":     {"case_id", "replicate", "grain", "origin", "born_h"},
		"cases":      {"case_id", "runs", "single_grain_runs", "stopped_by"},
		"boundaries": {"case_id", "replicate", "grain_1"},
	}
	s, _ = s.only(few[table])
	return s, err
}

func frameOf(table string, keys ...runKey) (*Frame, error) {
	s, err := thin(table)
	if err != nil {
		return nil, err
	}
	f := s.Frame()
	for _, k := range keys {
		for _, row := range rowsOfRun(table, k) {
			if err := f.Append(row...); err != nil {
				return nil, err
			}
		}
	}
	return f, nil
}

func casesFrame(counted map[string]int) (*Frame, error) {
	s, err := thin("cases")
	if err != nil {
		return nil, err
	}
	f := s.Frame()
	for i := range historyCases {
		row := make([]any, len(s.Columns))
		n := counted[caseName(i)]
		row[0], row[1], row[2], row[s.index("stopped_by")] = caseName(i), n, n/2, "replicates"
		if n < historyReplicates {
			row[s.index("stopped_by")] = "interrupted"
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
	f, err := Create("out/r", []byte(h.text), p, d)
	if err != nil {
		return err
	}
	if _, err := f.Missing(); err != nil {
		return err
	}
	done, err := f.Done()
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
	return finishSession(f, counted, kind == 1, p.Start)
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
			if key := (runKey{caseName(i), k}); !have[key] {
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
		if err := f.Fail(Failure{CaseID: caseName(0), Replicate: h.failures + 1, Error: "x"}); err != nil {
			return err
		}
		h.failures++
	}
	if h.r.IntN(3) == 0 {
		name := fmt.Sprintf("a-%d.vti", h.r.IntN(3))
		if err := f.Keep(name, func(w io.Writer) error { return writeAll(w, volumeText) }); err != nil {
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

func finishSession(f *Folder, counted map[string]int, shard bool, end time.Time) error {
	all, err := casesFrame(counted)
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
func (h *saga) play(hash string) error {
	for cuts := 1 + h.r.IntN(3); cuts > 0; cuts-- {
		kind := h.r.IntN(5) // one in five merges, one in five is a shard
		cut := 1 + h.r.IntN([]int{80, 120, 120, 120, 120}[kind])
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
	if got, err := f.ContentHash(); err != nil || got != hash {
		return fmt.Errorf("content %s (%v), wanted %s", got, err, hash)
	}
	return nil
}

// look proves that nothing acknowledged is lost, and nothing told that is not so.
func (h *saga) look(thorough bool) error {
	f, err := Open("out/r", h.disk)
	var none absent
	if errors.As(err, &none) && len(h.acked)+h.failures+len(h.fields) == 0 {
		return nil
	}
	if err != nil {
		return err
	}
	done, err := f.Done()
	if err != nil {
		return err
	}
	if err := holds(done, "runs", h.acked); err != nil {
		return err
	}
	if done.Len() > historyCases*historyReplicates {
		return fmt.Errorf("%d runs, some told twice", done.Len())
	}
	grains, err := f.Table("grains")
	if err != nil {
		return err
	}
	if err := holds(grains, "grains", h.acked); err != nil {
		return err
	}
	if err := h.lookAside(); err != nil || !thorough {
		return err
	}
	a, err := f.Audit()
	if err != nil {
		return err
	}
	if len(a.Damage) > 0 {
		return fmt.Errorf("audit: %w", &a.Damage[0])
	}
	return nil
}

// lookAside looks for acknowledged failures and volumes.
func (h *saga) lookAside() error {
	if h.failures > 0 {
		data, err := h.disk.ReadFile("out/r/failures.jsonl")
		if err != nil {
			return err
		}
		for n := 1; n <= h.failures; n++ {
			if !strings.Contains(string(data), fmt.Sprintf(`"replicate":%d,`, n)) {
				return fmt.Errorf("failure %d is lost", n)
			}
		}
	}
	for name := range h.fields {
		if data, err := h.disk.ReadFile("out/r/fields/" + name); err != nil || string(data) != volumeText {
			return fmt.Errorf("volume %s: %q, %w", name, data, err)
		}
	}
	return nil
}

// holds wants all rows of the runs, each once, as they must be.
func holds(got *Frame, table string, want map[runKey]bool) error {
	found := map[runKey][]int{}
	for r := range got.Len() {
		found[got.key(r)] = append(found[got.key(r)], r)
	}
	for key := range want {
		rows := rowsOfRun(table, key)
		if len(found[key]) != len(rows) {
			return fmt.Errorf("%s: %d rows of run %v, wanted %d", table, len(found[key]), key, len(rows))
		}
		for i, r := range found[key] {
			for c, v := range rows[i] {
				if got.Value(r, got.Schema.Columns[c].Name) != v {
					return fmt.Errorf("%s: run %v, column %s is %v, wanted %v", table, key, got.Schema.Columns[c].Name, got.Value(r, got.Schema.Columns[c].Name), v)
				}
			}
		}
	}
	return nil
}

func newSaga(seed uint64, d *trial.Memory) *saga {
	return &saga{disk: d, r: rand.New(rand.NewPCG(seed, 41)), text: "title = \"a\"\n", acked: map[runKey]bool{}, fields: map[string]bool{}}
}

// undisturbed is the hash of a folder that nothing has happened to.
func undisturbed(t *testing.T) string {
	t.Helper()
	h := newSaga(0, trial.NewMemory())
	if err := h.command(&trial.Failing{Disk: h.disk, Fail: func(int, string, string) error { return nil }}, 2); err != nil {
		t.Fatal(err)
	}
	return must[string](t)(must[*Folder](t)(Open("out/r", h.disk)).ContentHash())
}

// TestPowerLoss plays histories, numbered so that one that goes wrong can be played again alone.
func TestPowerLoss(t *testing.T) {
	hash := undisturbed(t)
	defer debug.SetGCPercent(debug.SetGCPercent(1000)) // a history leaves much behind and keeps nothing
	n := uint64(trial.Amount(25, 20_000, 1_000_000))
	var next atomic.Uint64
	var group sync.WaitGroup
	for range 2 {
		group.Go(func() {
			for seed := next.Add(1); seed <= n && !t.Failed(); seed = next.Add(1) {
				if err := newSaga(seed, trial.NewMemory()).play(hash); err != nil {
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
	hash := undisturbed(t)
	for name, d := range map[string]func() *trial.Memory{
		"files":   func() *trial.Memory { m := trial.NewMemory(); m.LazyFiles = true; return m },
		"folders": func() *trial.Memory { m := trial.NewMemory(); m.LazyFolders = true; return m },
	} {
		noticed := 0
		for seed := range uint64(15) {
			if newSaga(seed, d()).play(hash) != nil {
				noticed++
			}
		}
		if noticed < 5 {
			t.Errorf("%s are never synced, and only %d of 15 histories notice", name, noticed)
		}
	}
}
