package learned

// Layer is one of the rows of tags over the words of a message.
type Layer int

// The layers: what a word is a figure or a name of, which state of the fish, deed or end
// it tells, and which of several fish it is said of. States, deeds and ends lie over one
// another, since the same words may say several.
const (
	Figures Layer = iota
	States
	Deeds
	Ends
	Whose
	Layers
)

// The tags of the layer Whose beside FishTags.
const (
	AllFish = "all"
	NoFish  = "none"
)

// FishTags name the fish of a message in the order in which they are told; the last
// stands for all that follow.
var FishTags = [...]string{"0", "1", "2", "3"}

// figureKeys are the labels of the layer Figures.
var figureKeys = map[string]bool{
	"name": true, "count": true, "depth_m": true, "weight_kg": true, "length_cm": true, "minutes_on_deck": true, "tag": true,
	"weights_used_oz": true, "release_depth_m": true, "aboard_oz": true, "aboard_lead_g": true, "day": true,
}

// IsFigure reports whether a label belongs to the layer Figures.
func IsFigure(key string) bool { return figureKeys[key] }
