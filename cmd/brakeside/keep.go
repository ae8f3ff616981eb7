package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"

	"brakeside/server/report"
	"brakeside/server/store"
	"brakeside/server/table"
)

// dataFlags reads a command line of -data and the named others.
func dataFlags(name string, args []string, others ...string) (data string, rest []string, err error) {
	flags := flag.NewFlagSet(name, flag.ContinueOnError)
	data = defaultData
	flags.Func("data", "data folder", filled(&data))
	rest, err = arguments(flags, args, others...)
	return data, rest, err
}

// backup copies the store, also while a service runs on it.
func backup(ctx context.Context, args []string, s streams) error {
	data, files, err := dataFlags("backup", args, "FILE")
	if err != nil {
		return err
	}
	st, err := store.View(data)
	if err != nil {
		return err
	}
	defer st.Close()
	if err := placeFor(files[0]); err != nil {
		return err
	}
	if err := undisturbed(func() error { return st.Backup(ctx, files[0]) }); err != nil {
		return inFolder(files[0], err)
	}
	_, err = fmt.Fprintf(s.out, "%s holds a copy of %s\n", files[0], data)
	return err
}

// restore puts a copy back, over a newer store only when asked.
func restore(_ context.Context, args []string, s streams) error {
	flags := flag.NewFlagSet("restore", flag.ContinueOnError)
	data := defaultData
	flags.Func("data", "data folder", filled(&data))
	over := flags.Bool("over", false, "also over a store that is newer; that one is kept aside")
	files, err := arguments(flags, args, "FILE")
	if err != nil {
		return err
	}
	put := store.Restore
	if *over {
		put = store.RestoreOver
	}
	if err := isFile(files[0]); err != nil {
		return err
	}
	err = undisturbed(func() error { return put(data, files[0]) })
	if errors.Is(err, store.Damaged) { // the backup's damage, not the store's
		return inWords(files[0], "is no sound backup of a store; give a file that brakeside backup wrote")
	}
	if err != nil {
		return inFolder(data, err)
	}
	_, err = fmt.Fprintf(s.out, "%s holds what was in %s\n", data, files[0])
	return err
}

// check looks for damage.
func check(ctx context.Context, args []string, s streams) error {
	data, _, err := dataFlags("check", args)
	if err != nil {
		return err
	}
	st, err := store.View(data)
	if err != nil {
		return err
	}
	defer st.Close()
	damage, err := st.Check(ctx)
	if err != nil {
		return err
	}
	for _, d := range damage {
		fmt.Fprintf(s.out, "%s: %s\n", d.Where, d.What)
	}
	if len(damage) > 0 {
		return fmt.Errorf("%d places are damaged; restore the last good copy: %w", len(damage), store.Damaged)
	}
	_, err = fmt.Fprintln(s.out, "no damage found")
	return err
}

// outFile reads a command line of -data and -o.
func outFile(name string, args []string) (data, out string, err error) {
	flags := flag.NewFlagSet(name, flag.ContinueOnError)
	data = defaultData
	flags.Func("data", "data folder", filled(&data))
	flags.Func("o", "file to write", filled(&out))
	if _, err = arguments(flags, args); err != nil {
		return "", "", err
	}
	if out == "" {
		return "", "", misused("%s: name the file to write with -o", name)
	}
	return data, out, nil
}

// export writes all readings as CSV.
func export(ctx context.Context, args []string, s streams) error {
	data, out, err := outFile("export", args)
	if err != nil {
		return err
	}
	st, err := store.View(data)
	if err != nil {
		return err
	}
	defer st.Close()
	if err := writeFile(out, func(w io.Writer) error { return report.WriteCSV(ctx, w, table.Plain, st) }); err != nil {
		return err
	}
	_, err = fmt.Fprintln(s.out, out)
	return err
}
