/* "Did you mean": the nearest of some words to a misspelt one. */
#ifndef SELVAGE_GROUND_NEAREST_H
#define SELVAGE_GROUND_NEAREST_H

#include <stddef.h>

/* Edits (insert, drop, change, swap of neighbours) that turn one word into the other; words longer
 * than 64 bytes count as far apart. */
size_t edit_distance(const char *left, const char *right);

/* The nearest of `words`; of equals the one that shares more at both ends, then the first. NULL
 * where none is near enough to be meant: more than a third of the letters would change. */
const char *nearest_of(const char *text, const char *const *words, size_t count);

#endif
