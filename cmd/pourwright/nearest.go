package main

import "strings"

// nearest returns the known word that a typed one most likely stands for, or
// nothing: one that it begins, else one that few slips of the keyboard away.
func nearest(typed string, known []string) string {
	typed = strings.ReplaceAll(strings.ToLower(typed), "-", "_")
	if len(typed) > 2 {
		for _, word := range known {
			if strings.HasPrefix(word, typed) || strings.HasPrefix(typed, word) {
				return word
			}
		}
	}
	best, least := "", len(typed)/3+1
	for _, word := range known {
		if n := slips(typed, word); n < least {
			best, least = word, n
		}
	}
	return best
}

// slips counts the letters to insert, drop or replace to make b of a
// (V. I. Levenshtein, Soviet Physics Doklady 10, 1966).
func slips(a, b string) int {
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range len(a) {
		diagonal := row[0]
		row[0] = i + 1
		for j := range len(b) {
			change := diagonal
			if a[i] != b[j] {
				change++
			}
			diagonal = row[j+1]
			row[j+1] = min(change, row[j]+1, row[j+1]+1)
		}
	}
	return row[len(b)]
}
