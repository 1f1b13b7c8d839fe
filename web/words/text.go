package words

import (
	"strings"
)

// Sentence gives a problem's words the shape of a sentence.
func Sentence(words string) string {
	if words == "" {
		return ""
	}
	letters := []rune(words)
	words = strings.ToUpper(string(letters[0])) + string(letters[1:])
	if strings.ContainsRune(".!?", letters[len(letters)-1]) {
		return words
	}
	return words + "."
}

// Capital is the word as it begins a sentence.
func Capital(word string) string { return strings.ToUpper(word[:1]) + word[1:] }
