package main

import (
	"bytes"
	"fmt"

	"github.com/spf13/cobra"
)

func newCompletionCmd(con *console) *cobra.Command {
	shells := []string{"bash", "zsh", "fish", "powershell"}
	return &cobra.Command{
		Use:   "completion SHELL",
		Short: "Print the script that completes commands in bash, zsh, fish or powershell",
		Long:  "Prints a script for your shell. Once the shell has read it, the tab key completes\ncommands, flags, files and shelf keys.",
		Example: `  source <(pourwright completion bash)
  pourwright completion zsh > "${fpath[1]}/_pourwright"
  pourwright completion fish > ~/.config/fish/completions/pourwright.fish
  pourwright completion powershell | Out-String | Invoke-Expression`,
		ValidArgs: shells,
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) != 1 {
				return &usageError{"name one shell", cmd.CommandPath() + " bash, zsh, fish or powershell"}
			}
			return nil
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			var script bytes.Buffer
			if err := complete(cmd.Root(), args[0], &script); err != nil {
				return err
			}
			return con.print(script.Bytes())
		},
	}
}

// complete writes the completion script of a shell.
func complete(root *cobra.Command, shell string, to *bytes.Buffer) error {
	switch shell {
	case "bash":
		return root.GenBashCompletionV2(to, true)
	case "zsh":
		return root.GenZshCompletion(to)
	case "fish":
		return root.GenFishCompletion(to, true)
	case "powershell":
		return root.GenPowerShellCompletionWithDesc(to)
	}
	return &usageError{fmt.Sprintf("%q is not a shell that is known", shell), "bash, zsh, fish or powershell"}
}

// newHelpCmd is help COMMAND, which refuses words that are no command.
func newHelpCmd() *cobra.Command {
	return &cobra.Command{
		Use:   "help [COMMAND]",
		Short: "Say how to use a command",
		RunE: func(cmd *cobra.Command, args []string) error {
			about, rest, err := cmd.Root().Find(args)
			if err != nil || len(rest) > 0 {
				return unknownCommand(cmd.Root(), args)
			}
			return about.Help()
		},
	}
}
