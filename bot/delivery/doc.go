// Package delivery sees replies on their way: what goes when, in which order, how
// fast, and what becomes of a refusal. It knows neither a Bot API nor a terminal: a
// transport gives it a function that makes one try.
//
// What is promised. In a chat the replies to one person keep their order, and answers
// go before what taps bring, taps before marks. No reply holds another: a call that
// lasts lets the next begin, one that is refused steps behind what is newer, and files
// have a lane of their own; only a confirmation of a report waits for those before it, in
// its chat, whatever becomes of them. The limits are windows that slide: what they allow goes at
// once, and they are never passed.
package delivery
