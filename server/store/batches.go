package store

import (
	"context"
	"sync/atomic"
)

// batchSizes counts the transactions of readings by how many each took in.
type batchSizes [mostAtOnce + 1]atomic.Int64

// note counts one transaction by the readings in it that were stored.
func (b *batchSizes) note(entries []*entry) {
	stored := 0
	for _, e := range entries {
		if e.err == nil && !e.answer.Repeated {
			stored++
		}
	}
	if stored > 0 {
		b[stored].Add(1)
	}
}

// Batches says how the disk was used since the store was opened: its n-th number
// is how many times n readings were made durable at once. It is nil when the
// store was opened by View.
func (s *Store) Batches() []int64 {
	if s.desk == nil {
		return nil
	}
	counts := make([]int64, len(s.desk.sizes))
	for n := range counts {
		counts[n] = s.desk.sizes[n].Load()
	}
	return counts
}

// Size gives how large the database is, in bytes.
func (s *Store) Size(ctx context.Context) (bytes int64, err error) {
	err = s.read.QueryRowContext(ctx, `
		SELECT page_count * page_size FROM pragma_page_count, pragma_page_size`).Scan(&bytes)
	return bytes, worded(err)
}
