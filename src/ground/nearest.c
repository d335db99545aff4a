/* Optimal string alignment distance, three rows at a time. */
#include "ground/nearest.h"

#include <stdbool.h>
#include <string.h>

enum { LONGEST = 64 };

size_t edit_distance(const char *left, const char *right) {
    size_t rows = strlen(left), columns = strlen(right);
    if (rows > LONGEST || columns > LONGEST) return rows > columns ? rows : columns;
    size_t store[3][LONGEST + 1];
    size_t *two_above = store[0], *above = store[1], *row = store[2];
    for (size_t j = 0; j <= columns; j++)
        above[j] = j;
    for (size_t i = 1; i <= rows; i++) {
        row[0] = i;
        for (size_t j = 1; j <= columns; j++) {
            size_t best = above[j - 1] + (left[i - 1] != right[j - 1]);
            if (above[j] + 1 < best) best = above[j] + 1;
            if (row[j - 1] + 1 < best) best = row[j - 1] + 1;
            int swapped =
                i > 1 && j > 1 && left[i - 1] == right[j - 2] && left[i - 2] == right[j - 1];
            if (swapped && two_above[j - 2] + 1 < best) best = two_above[j - 2] + 1;
            row[j] = best;
        }
        size_t *free_row = two_above;
        two_above = above;
        above = row;
        row = free_row;
    }
    return above[columns];
}

/* Letters two words share at their beginning and at their end. */
static size_t shared_letters(const char *left, const char *right) {
    size_t a = strlen(left), b = strlen(right), most = a < b ? a : b, before = 0, after = 0;
    while (before < most && left[before] == right[before])
        before++;
    while (after < most - before && left[a - 1 - after] == right[b - 1 - after])
        after++;
    return before + after;
}

const char *nearest_of(const char *text, const char *const *words, size_t count) {
    const char *nearest = NULL;
    size_t least = (strlen(text) + 2) / 3 + 1;
    for (size_t i = 0; i < count; i++) {
        size_t distance = edit_distance(text, words[i]);
        bool nearer =
            distance < least || (nearest != NULL && distance == least &&
                                 shared_letters(text, words[i]) > shared_letters(text, nearest));
        if (!nearer) continue;
        least = distance;
        nearest = words[i];
    }
    return nearest;
}
