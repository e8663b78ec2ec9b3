// Package draw draws deepward's own pictures: four short lessons and the pocket
// card, as PNG for the chat and as SVG or a page to print.
//
// The house style, the same in every picture: white paper, ink outlines of one
// strength, calm blues for fish and sea, and one signal orange for the thing to
// look at. Blue and orange are told apart by the common kinds of colour blindness
// and differ in grey; still no colour carries meaning alone: a number, a pattern
// or a word says the same. Type is large, for wet hands and sunlight.
//
// Every word comes from Labels, so that the pictures speak the reader's language;
// text shrinks to its place rather than run over. Drawing the same thing twice
// gives the same bytes.
package draw
