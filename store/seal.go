package store

import (
	"cmp"
	"crypto/aes"
	"crypto/cipher"
	"crypto/hmac"
	"crypto/rand"
	"crypto/sha256"
	"encoding/base32"
	"encoding/binary"
	"errors"
	"fmt"
	"hash"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"

	"deepward/store/unfinished"
)

// keySize is 256 bits.
const keySize = 32

// sealer seals and hashes with keys derived from the key file.
type sealer struct {
	aead cipher.AEAD
	// hashSecret is the key of the hashes; macs are keyed hashes at rest: to key one anew
	// costs more than to run it.
	hashSecret []byte
	macs       *sync.Pool
}

func newSealer(key []byte) *sealer {
	block, err := aes.NewCipher(derive(key, "seal"))
	if err != nil {
		panic("store: " + err.Error()) // cannot be: the derived key has 32 bytes
	}
	aead, err := cipher.NewGCM(block)
	if err != nil {
		panic("store: " + err.Error())
	}
	s := &sealer{aead: aead}
	s.hashWith(derive(key, "hash"))
	return s
}

// hashWith takes another key for the hashes.
func (s *sealer) hashWith(secret []byte) {
	s.hashSecret = secret
	s.macs = &sync.Pool{New: func() any { return hmac.New(sha256.New, secret) }}
}

// derive makes a key for one use from the key file's.
func derive(key []byte, use string) []byte {
	mac := hmac.New(sha256.New, key)
	mac.Write([]byte("deepward " + use))
	return mac.Sum(nil)
}

// place names a place in the store for sealing: a bucket and a key in it.
func place(bucket, key []byte) []byte { return slices.Concat(bucket, []byte{0}, key) }

// seal encrypts a value and binds it to the place it is stored at, so that it
// cannot be moved to another.
func (s *sealer) seal(plain, place []byte) []byte {
	nonce := make([]byte, s.aead.NonceSize(), s.aead.NonceSize()+len(plain)+s.aead.Overhead())
	rand.Read(nonce) // never fails: crypto/rand ends the program instead
	return s.aead.Seal(nonce, nonce, plain, place)
}

// open decrypts a value that was sealed for this place.
func (s *sealer) open(sealed, place []byte) ([]byte, error) { return s.openInto(nil, sealed, place) }

// openInto is open, with the plain value put behind what into holds.
func (s *sealer) openInto(into, sealed, place []byte) ([]byte, error) {
	n := s.aead.NonceSize()
	if len(sealed) < n {
		return nil, errors.New("sealed value is too short")
	}
	plain, err := s.aead.Open(into, sealed[:n], sealed[n:], place)
	if err != nil {
		return nil, fmt.Errorf("opening a sealed value: %w", err)
	}
	return plain, nil
}

// digest is a keyed hash of the parts.
func (s *sealer) digest(parts ...string) []byte {
	mac := s.macs.Get().(hash.Hash)
	defer s.macs.Put(mac)
	mac.Reset()
	mac.Write([]byte(strings.Join(parts, "\x00")))
	return mac.Sum(nil)
}

// number is a keyed hash as a number that is never 0.
func (s *sealer) number(parts ...string) uint64 {
	return binary.BigEndian.Uint64(s.digest(parts...)) | 1
}

// word is a keyed hash as a short word that people can read out.
func (s *sealer) word(parts ...string) string {
	return base32.StdEncoding.EncodeToString(s.digest(parts...))[:8]
}

// loadKey reads the key file; on the first use of a fresh store it makes one.
func loadKey(path string, fresh bool) ([]byte, error) {
	key, err := os.ReadFile(path)
	switch {
	case err == nil && len(key) == keySize:
		return key, nil
	case err == nil:
		return nil, fmt.Errorf("%w (it has %d bytes, not %d)", ErrKeyWrong, len(key), keySize)
	case errors.Is(err, fs.ErrPermission):
		return nil, fmt.Errorf("the key may not be read by this user: %s", cmp.Or(giveBack(path), "give it read permission"))
	case !errors.Is(err, fs.ErrNotExist):
		return nil, err
	case !fresh:
		return nil, ErrKeyLost
	}
	err = begunAnew(func() (err error) { key, err = makeKey(path); return err })
	return key, err
}

func makeKey(path string) ([]byte, error) {
	if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
		return nil, err
	}
	key := make([]byte, keySize)
	rand.Read(key)
	temp, err := unfinished.Beside(path, unfinished.Key)
	if err != nil {
		return nil, err
	}
	defer os.Remove(temp.Name())
	_, err = temp.Write(key)
	if err := errors.Join(err, temp.Sync(), temp.Close()); err != nil {
		return nil, err
	}
	err = publishNew(temp.Name(), path)
	if errors.Is(err, fs.ErrExist) {
		return loadKey(path, false) // another program made one in the meantime
	}
	return key, err
}
