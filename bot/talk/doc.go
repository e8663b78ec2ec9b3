// Package talk is the memory of a conversation: the state of a talk and one message as
// read go in, what is to be done and the new state come out. It keeps nothing, reads no
// clock and knows no words: the store and the sentences are package bot's.
package talk
