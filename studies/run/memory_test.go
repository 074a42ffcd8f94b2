package run

import (
	"io/fs"
	"testing"
)

func TestMemoryWithinWhatIsGranted(t *testing.T) {
	const mib = 1 << 20
	for _, c := range []struct {
		env  map[string]string
		want int64
	}{
		{nil, 0},
		{map[string]string{"SLURM_MEM_PER_NODE": "1024"}, 768 * mib},
		{map[string]string{"SLURM_MEM_PER_NODE": "0"}, 0},
		{map[string]string{"SLURM_MEM_PER_NODE": "100"}, mib},
		{map[string]string{"SLURM_MEM_PER_NODE": "much"}, 0},
		{map[string]string{"SLURM_MEM_PER_CPU": "512", "SLURM_CPUS_ON_NODE": "4"}, 1792 * mib},
		{map[string]string{"SLURM_MEM_PER_CPU": "512"}, 256 * mib},
	} {
		if got := memoryOfTask(func(name string) string { return c.env[name] }); got != c.want {
			t.Errorf("%v: %d MiB, wanted %d", c.env, got/mib, c.want/mib)
		}
	}
	for _, c := range []struct {
		files map[string]string
		want  int64
	}{
		{nil, 0},
		{map[string]string{"/sys/fs/cgroup/memory.max": "max\n"}, 0},
		{map[string]string{"/sys/fs/cgroup/memory.max": "1073741824\n"}, 768 * mib},
		{map[string]string{"/sys/fs/cgroup/memory/memory.limit_in_bytes": "1073741824\n"}, 768 * mib},
		{map[string]string{"/sys/fs/cgroup/memory/memory.limit_in_bytes": "9223372036854771712\n"}, 0},
	} {
		got := memoryOfContainer(func(name string) ([]byte, error) {
			if text, ok := c.files[name]; ok {
				return []byte(text), nil
			}
			return nil, fs.ErrNotExist
		})
		if got != c.want {
			t.Errorf("%v: %d MiB, wanted %d", c.files, got/mib, c.want/mib)
		}
	}
	free := MemoryThere()
	t.Setenv("SLURM_MEM_PER_NODE", "600")
	if got := MemoryThere(); got != 344*mib || free <= got {
		t.Errorf("%d MiB in a task of 600, wanted 344 (%d without)", got/mib, free/mib)
	}
}
