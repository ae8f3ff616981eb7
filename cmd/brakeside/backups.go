package main

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"brakeside/calc/fault"
	"brakeside/server/panics"
	"brakeside/server/store"
)

// backups says where copies of the store go while the service runs, and how
// many are kept. No folder: none are made.
type backups struct {
	folder string
	keep   int
}

// The names of the copies; nothing else in the folder is ever touched.
const (
	backupBegin = "brakeside-"
	backupTime  = "20060102T150405Z"
	backupEnd   = ".db"
)

// backupEvery is how old the newest copy may get.
const backupEvery = 24 * time.Hour

// check refuses what could not be carried out, before the service starts.
func (b backups) check() error {
	if b.folder == "" {
		return nil
	}
	if b.keep < 1 {
		return misused("serve: -keep %d: keep 1 copy or more", b.keep)
	}
	info, err := os.Stat(b.folder)
	if err != nil || !info.IsDir() {
		return fault.New(fault.Invalid, "-backup", "there is no folder %s; make it first, best on another disk", b.folder)
	}
	return nil
}

// copies lists the copies in the folder, the newest first.
func (b backups) copies() ([]time.Time, error) {
	entries, err := os.ReadDir(b.folder)
	if err != nil {
		return nil, err
	}
	var out []time.Time
	for _, e := range entries {
		middle, begins := strings.CutPrefix(e.Name(), backupBegin)
		middle, ends := strings.CutSuffix(middle, backupEnd)
		if at, err := time.Parse(backupTime, middle); begins && ends && err == nil {
			out = append(out, at)
		}
	}
	slices.SortFunc(out, func(x, y time.Time) int { return cmp.Compare(y.Unix(), x.Unix()) })
	return out, nil
}

func (b backups) file(at time.Time) string {
	return filepath.Join(b.folder, backupBegin+at.UTC().Format(backupTime)+backupEnd)
}

// due is how long it is until the next copy. A copy from a time that is still to
// come says that the clock was set back, and nothing of when the last one was made.
func (b backups) due(now time.Time) time.Duration {
	copies, err := b.copies()
	copies = slices.DeleteFunc(copies, now.Before)
	if err != nil || len(copies) == 0 {
		return 0
	}
	return max(0, copies[0].Add(backupEvery).Sub(now))
}

// prune removes the oldest copies beyond those that are kept. The one that was just
// made is kept, also when the clock was set back before.
func (b backups) prune(made time.Time) error {
	copies, err := b.copies()
	if err != nil {
		return err
	}
	copies = slices.DeleteFunc(copies, made.Truncate(time.Second).Equal)
	for _, old := range copies[min(b.keep-1, len(copies)):] {
		err = errors.Join(err, os.Remove(b.file(old)))
	}
	return err
}

// damagedCopy is the one copy of a damaged store. It is made anew each time and
// never counts among the good ones, of which none gives way to it; it may hold
// readings that none of them has.
const damagedCopy = "brakeside-damaged.db"

// backUp makes one copy, and only then removes old ones. Of a damaged store, and of one
// that lacks what the last copy has, it keeps a copy apart, and gives the damage.
func (v *service) backUp(ctx context.Context, b backups) error {
	now := time.Now()
	err := v.lacksOfLast(b)
	if err == nil {
		err = v.store.Backup(ctx, b.file(now))
	}
	if errors.Is(err, store.Damaged) {
		return errors.Join(err, v.store.BackupAsIs(ctx, filepath.Join(b.folder, damagedCopy)))
	}
	if err != nil {
		return err
	}
	if err := b.prune(now); err != nil {
		return err
	}
	return v.store.KeepSetting(ctx, "last-backup", fmt.Sprintf("%s in %s", now.Format("2 Jan 2006 15:04"), b.folder))
}

// lacksOfLast refuses a store that lacks readings of its last copy. A copy that cannot
// be compared refuses nothing: the new one is needed all the more.
func (v *service) lacksOfLast(b backups) error {
	copies, err := b.copies()
	if err != nil || len(copies) == 0 {
		return err
	}
	last := b.file(copies[0])
	if err = v.store.LacksOf(last); err != nil && !errors.Is(err, store.Damaged) {
		v.log.Warn("copy not compared", "file", last, "error", err)
		return nil
	}
	return err
}

// firstLine gives an error without what only the log needs.
func firstLine(err error) string {
	first, _, _ := strings.Cut(err.Error(), "\n")
	return first
}

// retryBackup is how long it is until a copy that failed is tried again.
const retryBackup = time.Hour

// backUpDaily makes copies until the context ends; what it gives is closed when
// the last one is done.
func (v *service) backUpDaily(ctx context.Context, b backups) <-chan struct{} {
	if b.folder == "" {
		done := make(chan struct{})
		close(done)
		return done
	}
	return again(ctx, b.due(time.Now()), func() time.Duration {
		wait, trouble := backupEvery, ""
		if err := panics.Caught(func() error { return v.backUp(ctx, b) }); err != nil {
			v.log.Error("no backup", "error", err)
			trouble, wait = time.Now().Format("2 Jan 2006 15:04")+": "+firstLine(err), retryBackup
		}
		v.noteTrouble(ctx, store.SettingBackupTrouble, trouble)
		return wait
	})
}

// noteTrouble keeps what the owner is to see; nothing when all is well again.
func (v *service) noteTrouble(ctx context.Context, setting, trouble string) {
	ctx = context.WithoutCancel(ctx)
	err := panics.Caught(func() error {
		if before, err := v.store.Setting(ctx, setting); err == nil && before == trouble || fault.KindOf(err) == fault.Missing && trouble == "" {
			return nil
		}
		return v.store.KeepSetting(ctx, setting, trouble)
	})
	if err != nil {
		v.log.Error("trouble not noted", "of", setting, "error", err)
	}
}

// again does something after a while, and again after what it says each time,
// until the context ends; what it gives is closed when the last time is over.
func again(ctx context.Context, wait time.Duration, do func() time.Duration) <-chan struct{} {
	done := make(chan struct{})
	go func() {
		defer close(done)
		for {
			select {
			case <-ctx.Done():
				return
			case <-time.After(wait):
				wait = do()
			}
		}
	}()
	return done
}
