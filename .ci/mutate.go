// Command mutate changes constants and comparisons of Go sources one at a time and says
// which changes the tests of their package do not notice; .ci/mutate tells how it is run.
package main

import (
	"bytes"
	"encoding/json"
	"flag"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
)

// enough is the share of the changes that tests must notice.
const enough = 0.95

// rules are the files whose figures are rules: of the trade, of the talk, and limits.
var rules = []string{
	"advisor/advise.go", "advisor/decide.go", "advisor/descent.go", "advisor/gas.go", "advisor/hazard.go", "advisor/kit.go",
	"advisor/length.go", "advisor/lift.go", "advisor/size.go", "advisor/survival.go", "advisor/vents.go", "advisor/water.go", "advisor/weight.go",
	"bot/talk", "bot/day.go", "bot/doubts.go", "bot/understand/limits.go", "bot/understand/hear.go", "store/importer/build.go",
}

// change is one piece of a file replaced by another.
type change struct {
	file     string
	line     int
	from, to int // offsets of the piece
	old, new string
}

// comparisons are what each is changed to: the ends of ranges are moved, equality turned.
var comparisons = map[token.Token]token.Token{
	token.LSS: token.LEQ, token.LEQ: token.LSS, token.GTR: token.GEQ, token.GEQ: token.GTR,
	token.EQL: token.NEQ, token.NEQ: token.EQL,
}

func main() {
	targets, most, run := arguments(os.Args[1:])
	killed, all := 0, 0
	for _, target := range targets {
		k, n, err := mutate(target, most, run)
		if err != nil {
			fmt.Fprintf(os.Stderr, "mutate: %s: %v\n", target, err)
			os.Exit(2)
		}
		killed, all = killed+k, all+n
	}
	if all == 0 {
		fmt.Println("nothing to change")
		return
	}
	share := float64(killed) / float64(all)
	fmt.Printf("noticed %d of %d, %.0f %%\n", killed, all, 100*share)
	if share < enough {
		os.Exit(1)
	}
}

// arguments takes flags before and after what is to be changed.
func arguments(args []string) (targets []string, most int, run string) {
	flags := flag.NewFlagSet("mutate", flag.ExitOnError)
	flags.IntVar(&most, "n", 0, "at most so many changes of each; 0: all")
	flags.StringVar(&run, "run", "", "only these tests")
	for len(args) > 0 {
		flags.Parse(args) // ends the program itself
		if args = flags.Args(); len(args) > 0 {
			targets, args = append(targets, args[0]), args[1:]
		}
	}
	if len(targets) == 0 {
		targets = rules
	}
	return targets, most, run
}

// mutate tries the changes of one package or file and prints those that nothing noticed.
func mutate(target string, most int, run string) (killed, all int, err error) {
	files, err := sources(target)
	if err != nil {
		return 0, 0, err
	}
	var list []change
	for _, file := range files {
		found, err := changes(file)
		if err != nil {
			return 0, 0, err
		}
		list = append(list, found...)
	}
	pkg := "./" + filepath.Dir(files[0])
	if out, err := test(pkg, run, ""); err != nil {
		return 0, 0, fmt.Errorf("its tests fail as it is:\n%s", out)
	}
	tried := spread(list, most)
	fmt.Printf("%s: %d of %d changes\n", target, len(tried), len(list))
	for _, c := range tried {
		noticed, compiles, err := try(c, pkg, run)
		switch {
		case err != nil:
			return killed, all, err
		case !compiles:
			continue
		case noticed:
			killed++
		default:
			fmt.Printf("%s:%d: %s → %s: no test noticed\n", c.file, c.line, c.old, c.new)
		}
		all++
	}
	return killed, all, nil
}

// sources are the Go files of a package but for its tests, or the one file.
func sources(target string) ([]string, error) {
	if strings.HasSuffix(target, ".go") {
		return []string{filepath.Clean(target)}, nil
	}
	files, err := filepath.Glob(filepath.Join(target, "*.go"))
	files = slices.DeleteFunc(files, func(f string) bool { return strings.HasSuffix(f, "_test.go") })
	if err == nil && len(files) == 0 {
		err = fmt.Errorf("no Go files there")
	}
	return files, err
}

// changes are those that one file allows, in its order.
func changes(file string) (list []change, err error) {
	set := token.NewFileSet()
	tree, err := parser.ParseFile(set, file, nil, 0)
	if err != nil {
		return nil, err
	}
	add := func(pos token.Pos, old, new string) {
		at := set.Position(pos)
		list = append(list, change{file, at.Line, at.Offset, at.Offset + len(old), old, new})
	}
	ast.Inspect(tree, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.BinaryExpr:
			if other, ok := comparisons[n.Op]; ok {
				add(n.OpPos, n.Op.String(), other.String())
			}
		case *ast.BasicLit:
			if other, ok := another(n); ok {
				add(n.Pos(), n.Value, other)
			}
		}
		return true
	})
	slices.SortFunc(list, func(a, b change) int { return a.from - b.from })
	return list, nil
}

// another is a number that a rule would notice: the next whole one, or a tenth more.
func another(lit *ast.BasicLit) (string, bool) {
	switch lit.Kind {
	case token.INT:
		n, err := strconv.ParseInt(lit.Value, 0, 64)
		return strconv.FormatInt(n+max(1, n/10), 10), err == nil
	case token.FLOAT:
		x, err := strconv.ParseFloat(lit.Value, 64)
		if x == 0 {
			return "1.0", err == nil
		}
		return strconv.FormatFloat(1.1*x, 'e', 6, 64), err == nil
	}
	return "", false
}

// spread picks at most so many, evenly over the list; all of them for 0.
func spread(list []change, most int) (picked []change) {
	if most <= 0 || most >= len(list) {
		return list
	}
	for i := range most {
		picked = append(picked, list[(2*i+1)*len(list)/(2*most)])
	}
	return picked
}

// try runs the tests with one change laid over the file, which is not touched itself.
func try(c change, pkg, run string) (noticed, compiles bool, err error) {
	dir, err := os.MkdirTemp("", "mutate")
	if err != nil {
		return false, false, err
	}
	defer os.RemoveAll(dir)
	overlay, err := c.lay(dir)
	if err != nil {
		return false, false, err
	}
	out, err := test(pkg, run, overlay)
	return err != nil, !bytes.Contains(out, []byte("[build failed]")), nil
}

// lay writes the changed file and the list that puts it in the place of the other.
func (c change) lay(dir string) (overlay string, err error) {
	text, err := os.ReadFile(c.file)
	if err != nil {
		return "", err
	}
	path, err := filepath.Abs(c.file)
	if err != nil {
		return "", err
	}
	changed := filepath.Join(dir, "changed.go")
	list, err := json.Marshal(map[string]map[string]string{"Replace": {path: changed}})
	if err != nil {
		return "", err
	}
	overlay = filepath.Join(dir, "overlay.json")
	if err := os.WriteFile(changed, slices.Concat(text[:c.from], []byte(c.new), text[c.to:]), 0o600); err != nil {
		return "", err
	}
	return overlay, os.WriteFile(overlay, list, 0o600)
}

// test runs the tests of a package; an endless loop is noticed by the time limit.
func test(pkg, run, overlay string) ([]byte, error) {
	return exec.Command("go", "test", "-vet=off", "-failfast", "-timeout=3m", "-run="+run, "-overlay="+overlay, pkg).CombinedOutput()
}
