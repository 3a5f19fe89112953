package main

import (
	"fmt"
	"io"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"
	"github.com/spf13/cobra/doc"
)

// manCommand prints the manual, made from the commands themselves.
func manCommand(out io.Writer) *cobra.Command {
	dir := ""
	man := &cobra.Command{
		Use:   "man [COMMAND]",
		Short: "Print the manual page of the program or of one command",
		Long: `man prints the manual page of halflid, or of one of its commands, in the form that
the man program reads. With --dir it writes them all as files.`,
		Example: `  halflid man | man -l -
  halflid man plan | man -l -
  halflid man --dir ~/.local/share/man/man1`,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) > 1 || dir != "" && len(args) > 0 {
				return usagef("man takes one command at most, and none with --dir")
			}
			return nil
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			root := cmd.Root()
			root.DisableAutoGenTag = true // it would name the day
			head := doc.GenManHeader{Section: "1", Source: "halflid", Manual: "halflid"}
			if dir != "" {
				return manFiles(root, &head, dir)
			}
			page := root
			if len(args) > 0 {
				var err error
				if page, err = commandNamed(root, "man", args); err != nil {
					return err
				}
			}
			return doc.GenMan(page, &head, out)
		},
	}
	man.Flags().StringVar(&dir, "dir", "", "write all pages into this `folder`, as files such as halflid-plan.1")
	return man
}

// manFiles writes all pages into dir.
func manFiles(root *cobra.Command, head *doc.GenManHeader, dir string) error {
	if info, err := os.Stat(dir); err != nil || !info.IsDir() {
		return fmt.Errorf("%s: there is no such folder: make it first", dir)
	}
	if err := doc.GenManTree(root, head, filepath.Clean(dir)); err != nil {
		return fmt.Errorf("%s: the pages cannot be written: %w", dir, err)
	}
	return nil
}
