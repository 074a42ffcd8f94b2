package table

import (
	"errors"
	"fmt"
	"io/fs"
	"path"
	"slices"
	"time"

	"onegrain/studies/disk"
)

const (
	versionsName = "versions"
	versionEnd   = ".json"
)

// Version is what a results folder holds: the runs of one study by one version of the physics.
//
// The folder versions has a file for each that it has held, numbered; the last one counts. Such a
// file is put there by PutNew and never changed, so of several commands that want the folder for
// different versions at the same time one gets it, without a lock. Who writes looks whether the
// folder is still its own.
type Version struct {
	Study string `json:"study"`           // its text
	Model string `json:"model_version"`   // of the physics
	Draws string `json:"draws,omitempty"` // how the random numbers are drawn; empty = not known
}

func (v Version) same(w Version) bool { return v.Study == w.Study && v.Model == w.Model }

// mixes says whether the runs of both may not stand side by side: their random numbers are drawn
// otherwise.
func (v Version) mixes(draws string) bool { return v.Draws != "" && draws != "" && v.Draws != draws }

// name of the folder that keeps it once the results folder is another's.
func (v Version) name() string { return "earlier/" + sum([]byte(v.Model + "\x00" + v.Study))[:12] }

// Taken says that a results folder is another's.
type Taken struct {
	Dir  string
	Why  string
	Next string
}

// Error names folder, reason and next move.
func (t *Taken) Error() string { return t.Dir + " " + t.Why + ": " + t.Next }

// take makes the folder that of a version, unless another one has it. One of a program that kept no
// versions becomes the first.
func (f *Folder) take(v Version, draws func(study []byte) string) error {
	f.version = v
	for tries, tried := 0, false; ; tries++ {
		all, number, err := f.versions()
		if err != nil {
			return err
		}
		if len(all) > 0 && all[len(all)-1].same(v) {
			return f.disk.SyncFolder(f.path(versionsName)) // who has put it there may be about to
		}
		if err := f.refused(all, tried); err != nil {
			return err
		}
		next := v
		if old, err := f.Version(); len(all) == 0 && err == nil {
			next, next.Draws = old, draws([]byte(old.Study))
		} else if unlessAbsent(err) != nil {
			return err
		}
		tried = tried || next.same(v)
		if err := f.putVersion(number, next); errors.Is(err, fs.ErrExist) && tries < attempts {
			time.Sleep(pause) // a network may show late who was first
		} else if err != nil {
			return err
		}
	}
}

// putVersion puts a version behind those that were looked at, unless another has come there since.
func (f *Folder) putVersion(number int, v Version) error {
	data, err := recordOf(v)
	if err != nil {
		return err
	}
	name := fmt.Sprintf("%s/%06d%s", versionsName, number, versionEnd)
	return disk.PutNew(f.disk, f.dir, name, disk.Bytes(data))
}

// refused says why the folder is not given to this session's version. tried: it was free when this
// command began.
func (f *Folder) refused(all []Version, tried bool) error {
	if len(all) == 0 {
		return nil
	}
	last := all[len(all)-1]
	switch {
	case last.mixes(f.version.Draws):
		return &Taken{f.dir,
			fmt.Sprintf("holds runs drawn with %s, and this study asks for %s", last.Draws, f.version.Draws),
			fmt.Sprintf("mixing them would spoil the counts; keep them and give --out %s-2, or move the folder away", f.dir)}
	case tried:
		return &Taken{f.dir, "was taken for another version of the study by another command just now",
			"give this one again if it is to have the folder, or choose another with --out"}
	case f.session.Shard != "" && slices.ContainsFunc(all, f.version.same):
		return &Taken{f.dir, "has been given to a newer version of the study since",
			"`onegrain run` without --shard takes it back; or choose another folder with --out"}
	}
	return nil
}

// held says whether the folder is still that of this session's version; Taken if it is not.
func (f *Folder) held() error {
	if f.version.Model == "" && f.version.Study == "" {
		return nil // opened to read or to merge
	}
	files, err := f.within(versionsName, versionEnd)
	if err != nil || len(files) == 0 {
		return err
	}
	last, err := f.versionIn(files[len(files)-1])
	if err == nil && !last.same(f.version) {
		err = &Taken{f.dir, "was taken for another version of the study while this command was at work",
			fmt.Sprintf("what it had finished is in %s or will be moved there; give the same command again to take the "+
				"folder back, or choose another with --out", path.Join(f.dir, f.version.name()))}
	}
	return err
}

// versions are all that the folder has held, the present one last, and the number of the next; none
// where no command has written yet, or only one that kept none.
func (f *Folder) versions() (all []Version, next int, err error) {
	files, err := f.within(versionsName, versionEnd)
	for _, name := range files {
		v, err := f.versionIn(name)
		if err != nil {
			return nil, 0, err
		}
		all = append(all, v)
		_, _ = fmt.Sscanf(path.Base(name), "%d", &next) // a name that is none of ours was no version
	}
	return all, next + 1, err
}

func (f *Folder) versionIn(name string) (v Version, err error) {
	err = f.readRecord(name, &v, "move it away and run the study again, which writes it again")
	return v, err
}

// Version is what the folder holds.
func (f *Folder) Version() (Version, error) {
	all, _, err := f.versions()
	if err != nil {
		return Version{}, err
	}
	if len(all) > 0 {
		return all[len(all)-1], nil
	}
	study, err := f.Study()
	if err != nil {
		return Version{}, err
	}
	v := Version{Study: string(study)}
	sessions, err := f.Sessions()
	for _, p := range sessions {
		if p.StudySHA256 == sum(study) {
			v.Model = p.ModelVersion
		}
	}
	return v, err
}
