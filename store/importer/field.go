package importer

import "strings"

// field is what a column holds.
type field string

// The fields. Signs are "sign:" and the name of the sign.
const (
	fieldDate         field = "date"
	fieldYear         field = "year"
	fieldMonth        field = "month"
	fieldDay          field = "day"
	fieldTime         field = "time"
	fieldSpecies      field = "species"
	fieldScientific   field = "scientific"
	fieldDepth        field = "depth"
	fieldDepthFrom    field = "depth_from"
	fieldLength       field = "length"
	fieldLengthType   field = "length_type"
	fieldWeight       field = "weight"
	fieldCount        field = "count"
	fieldMethod       field = "method"
	fieldVented       field = "vented"
	fieldRecompressed field = "recompressed"
	fieldKept         field = "kept"
	fieldReleased     field = "released"
	fieldLead         field = "lead"
	fieldReleaseDepth field = "release_depth"
	fieldSigns        field = "signs"
	fieldHook         field = "hook"
	fieldRemark       field = "remark"
	fieldBleeding     field = "bleeding"
	fieldMinutes      field = "minutes"
	fieldCondition    field = "condition"
	fieldPredators    field = "predators"
	fieldTemperature  field = "temperature"
	fieldTag          field = "tag"
	fieldSecondTag    field = "second_tag"
	fieldRecaptured   field = "recaptured"
	fieldLiberty      field = "liberty"
	fieldLat          field = "lat"
	fieldLon          field = "lon"
	fieldPosition     field = "position"
	// Minutes of a place in columns of their own, beside its degrees.
	fieldLatMinutes field = "lat_min"
	fieldLonMinutes field = "lon_min"
	fieldAngler     field = "angler"
	// fieldSkip is known and of no use here.
	fieldSkip field = "skip"

	// Units that each row tells in a column of their own.
	fieldDepthUnit  field = "depth_unit"
	fieldLengthUnit field = "length_unit"
	fieldWeightUnit field = "weight_unit"

	// fieldYearDay is the day of the year, from 1.
	fieldYearDay field = "year_day"

	signPrefix = "sign:"
	// outcomePrefix begins the fields of yes and no about one outcome.
	outcomePrefix = "outcome:"
)

// unitField is the field that tells the unit of a quantity row by row.
func unitField(q quantity) field {
	switch q {
	case quantityDepth:
		return fieldDepthUnit
	case quantityLength:
		return fieldLengthUnit
	case quantityWeight:
		return fieldWeightUnit
	default:
		return ""
	}
}

// quantity is what a figure measures.
type quantity string

// The quantities, with their base units: m, cm, kg, oz, min, days, degrees Celsius.
const (
	quantityDepth       quantity = "depth"
	quantityLength      quantity = "length"
	quantityWeight      quantity = "weight"
	quantityLead        quantity = "lead"
	quantitySpan        quantity = "span"
	quantityDays        quantity = "days"
	quantityTemperature quantity = "temperature"
)

// measures is the quantity of a field, "" for none.
func (f field) measures() quantity {
	switch f {
	case fieldDepth, fieldDepthFrom, fieldReleaseDepth:
		return quantityDepth
	case fieldLength:
		return quantityLength
	case fieldWeight:
		return quantityWeight
	case fieldLead:
		return quantityLead
	case fieldMinutes:
		return quantitySpan
	case fieldLiberty:
		return quantityDays
	case fieldTemperature:
		return quantityTemperature
	default:
		return ""
	}
}

// defaultUnit is the unit of a quantity in a system, "" where there is none that
// goes without saying.
func (u Units) defaultUnit(q quantity) string {
	metric := map[quantity]string{
		quantityDepth: "m", quantityLength: "cm", quantityWeight: "kg", quantityLead: "g", quantityTemperature: "c",
	}
	imperial := map[quantity]string{
		quantityDepth: "ft", quantityLength: "in", quantityWeight: "lb", quantityLead: "oz", quantityTemperature: "f",
	}
	common := map[quantity]string{quantitySpan: "min", quantityDays: "d"}
	switch {
	case u == "":
		return ""
	case common[q] != "":
		return common[q]
	case u == Imperial:
		return imperial[q]
	default:
		return metric[q]
	}
}

// many is true for a field that several columns may hold.
func (f field) many() bool {
	return f == fieldRemark || f == fieldSkip || f == fieldSigns || f == fieldCondition || f.sign() != "" || f.outcome() != ""
}

// sign is the name of the sign that a column of yes and no is about.
func (f field) sign() string {
	if s, ok := strings.CutPrefix(string(f), signPrefix); ok {
		return s
	}
	return ""
}

// outcome is the outcome that a column of yes and no is about, "" for other fields.
func (f field) outcome() string {
	if s, ok := strings.CutPrefix(string(f), outcomePrefix); ok {
		return s
	}
	return ""
}

// whenRecaptured is true for a field that a recapture may have of its own.
func (f field) whenRecaptured() bool {
	switch f {
	case fieldDate, fieldTime, fieldDepth, fieldLength, fieldWeight, fieldLat, fieldLon, fieldPosition, fieldMethod,
		fieldCondition, fieldKept, fieldReleased, fieldAngler, fieldRemark, fieldSkip, fieldTemperature, fieldHook:
		return true
	default:
		return false
	}
}

// says is what the field is called in the dry run.
func (f field) says() string {
	names := map[field]string{
		fieldDate: "date", fieldSpecies: "species", fieldScientific: "scientific name", fieldDepth: "capture depth",
		fieldYearDay: "day of the year", fieldDepthUnit: "unit of the depth", fieldLengthUnit: "unit of the length", fieldWeightUnit: "unit of the weight",
		fieldLengthType: "how the length was measured", fieldDepthFrom: "shallow end of the depth", fieldCount: "number of such fish", fieldMethod: "release method", fieldVented: "vented or not",
		fieldRecompressed: "sent down or not", fieldKept: "kept or not", fieldReleased: "released or not", fieldLead: "release weight",
		fieldReleaseDepth: "depth where the fish was freed", fieldSigns: "signs of barotrauma", fieldHook: "place of the hook",
		fieldRemark: "kept as a remark", fieldMinutes: "time out of the water", fieldCondition: "condition or behaviour",
		fieldPredators: "predators about or not", fieldTemperature: "surface temperature", fieldSecondTag: "second tag", fieldLatMinutes: "minutes of the latitude", fieldLonMinutes: "minutes of the longitude", fieldRecaptured: "recaptured or not",
		fieldLiberty: "time until the recapture", fieldLat: "latitude", fieldLon: "longitude", fieldSkip: "not needed",
	}
	switch name, ok := names[f]; {
	case ok:
		return name
	case f.outcome() != "":
		return "how it went: " + strings.ReplaceAll(f.outcome(), "_", " ")
	case f.sign() != "":
		return "sign: " + strings.ReplaceAll(f.sign(), "_", " ")
	default:
		return string(f)
	}
}
