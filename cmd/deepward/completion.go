package main

import (
	"fmt"
	"strings"

	"github.com/alecthomas/kong"
)

// completionCmd writes what a shell needs to complete commands and flags.
type completionCmd struct {
	Shell string `arg:"" help:"bash, zsh or fish." enum:"bash,zsh,fish"`
}

func (completionCmd) Help() string {
	return `Example:

    deepward completion bash > deepward.bash
    deepward completion zsh > _deepward
    deepward completion fish > deepward.fish

bash reads it with source deepward.bash; zsh from a folder of $fpath; fish from
~/.config/fish/completions.`
}

func (c completionCmd) Run(e env, k *kong.Kong) error {
	write := map[string]func(*kong.Application) string{"bash": bashWords, "zsh": zshWords, "fish": fishWords}[c.Shell]
	_, err := fmt.Fprint(e.out, write(k.Model))
	return err
}

// names are the commands in the order of help.
func names(m *kong.Application) (list []string) {
	for _, c := range m.Children {
		if !c.Hidden {
			list = append(list, c.Name)
		}
	}
	return list
}

// after are the words that may follow a command: commands under it, and flags.
func after(c *kong.Node) (list []string) {
	for _, sub := range c.Children {
		if !sub.Hidden && sub.Type == kong.CommandNode {
			list = append(list, sub.Name)
		}
	}
	for _, f := range ownFlags(c) {
		list = append(list, "--"+f.Name)
	}
	return append(list, "--help")
}

func bashWords(m *kong.Application) string {
	var b strings.Builder
	fmt.Fprintf(&b, "# Completion of deepward for bash.\n_deepward() {\n  local word=${COMP_WORDS[COMP_CWORD]} words\n  COMPREPLY=()\n")
	fmt.Fprintf(&b, "  if (( COMP_CWORD == 1 )); then words=%q\n  else case ${COMP_WORDS[1]} in\n", strings.Join(names(m), " "))
	for _, c := range m.Children {
		fmt.Fprintf(&b, "    %s) words=%q ;;\n", strings.Join(append([]string{c.Name}, c.Aliases...), "|"), strings.Join(after(c), " "))
	}
	b.WriteString("  esac; fi\n  [[ -n $words ]] && mapfile -t COMPREPLY < <(compgen -W \"$words\" -- \"$word\")\n  return 0\n}\ncomplete -o default -F _deepward deepward\n")
	return b.String()
}

func zshWords(m *kong.Application) string {
	var b strings.Builder
	b.WriteString("#compdef deepward\n# Completion of deepward for zsh.\n_deepward() {\n  if (( CURRENT == 2 )); then\n    local -a commands=(\n")
	for _, c := range m.Children {
		if !c.Hidden {
			fmt.Fprintf(&b, "      %s\n", quoted(c.Name+":"+c.Help))
		}
	}
	b.WriteString("    )\n    _describe command commands\n    return\n  fi\n  case $words[2] in\n")
	for _, c := range m.Children {
		fmt.Fprintf(&b, "    %s) compadd -- %s ;;\n", strings.Join(append([]string{c.Name}, c.Aliases...), "|"), strings.Join(after(c), " "))
	}
	b.WriteString("  esac\n  _files\n}\n_deepward \"$@\"\n")
	return b.String()
}

func fishWords(m *kong.Application) string {
	var b strings.Builder
	b.WriteString("# Completion of deepward for fish.\n")
	for _, c := range m.Children {
		if !c.Hidden {
			fmt.Fprintf(&b, "complete -c deepward -n __fish_use_subcommand -f -a %s -d %s\n", c.Name, quoted(c.Help))
		}
		for _, sub := range c.Children {
			fmt.Fprintf(&b, "complete -c deepward -n '__fish_seen_subcommand_from %s' -f -a %s -d %s\n", c.Name, sub.Name, quoted(sub.Help))
		}
	}
	for _, c := range m.Leaves(true) {
		first, _, _ := strings.Cut(strings.TrimPrefix(c.FullPath(), m.Name+" "), " ")
		for _, f := range ownFlags(c) {
			fmt.Fprintf(&b, "complete -c deepward -n '__fish_seen_subcommand_from %s' -l %s -d %s\n", first, f.Name, quoted(f.Help))
		}
	}
	return b.String()
}

// quoted puts a text in single quotes, as all three shells read it.
func quoted(text string) string { return "'" + strings.ReplaceAll(text, "'", "’") + "'" }
