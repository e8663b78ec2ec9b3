// Package store keeps reports, chats, state and undelivered replies in one
// bbolt file. It is the only package that imports bbolt.
//
// What names a person or an exact place, and people's words, is sealed with
// AES-256-GCM under a key that lives in a file of its own, away from the data;
// numbers of people and chats are only ever stored as keyed hashes or sealed.
// Without its key a store does not open: keep a copy of the key, apart.
//
// A store that any earlier version wrote opens in this one, which brings it up to
// date; one that a later version wrote is refused, and not touched.
//
// One process at a time may open a file. Everything that belongs together goes
// through one Update: when it returns nil, it is on disk.
package store
