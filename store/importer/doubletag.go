package importer

// takeTags gives the fish its tag numbers: the first column, and a second one for the
// second tag of fish that wear two.
func (in *reading) takeTags(list []*Column) {
	in.columns[slot{field: fieldTag}] = list[:1]
	second := list[1]
	in.columns[slot{field: fieldSecondTag}] = []*Column{second}
	second.field = fieldSecondTag
	in.sheet.note("%q is the second tag of fish that wear two: where %q is empty, it says which fish it is", second.Heading, list[0].Heading)
	for _, c := range list[2:] {
		c.heading = heading{}
		in.sheet.note("%q is not used: %q and %q hold the tags", c.Heading, list[0].Heading, second.Heading)
	}
}

// pairTags remembers the first tag of every fish that wears two, by its second: a
// fish that lost the first is known by the other.
func (in *reading) pairTags() {
	in.pairs = map[string]string{}
	if !in.has(fieldSecondTag) {
		return
	}
	for b := range in.looking {
		first, second := b.tagIn(fieldTag), b.tagIn(fieldSecondTag)
		if _, paired := in.pairs[second]; first != "" && second != "" && !paired {
			in.pairs[second] = first
		}
	}
}

// tag is the number of the fish: that of its first tag, as far as it is known.
func (b *builder) tag() string {
	if first := b.tagIn(fieldTag); first != "" {
		return first
	}
	second := b.tagIn(fieldSecondTag)
	if first, ok := b.pairs[second]; ok {
		return first
	}
	return second
}
