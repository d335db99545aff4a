/* Widths of letters, and breaking text into lines. */
#include "emit/type.h"

#include "ground/utf8.h"

#include <string.h>

/* Advance widths of DejaVu Sans 2.37 from the blank to the tilde, in hundredths of the size,
 * rounded up. */
static const unsigned char widths[] = {
    32, 41, 46, 84, 64, 96, 78, 28, 40,  40, 50, 84, 32, 37, 32, 34, 64, 64, 64, 64, 64, 64, 64, 64,
    64, 64, 34, 34, 84, 84, 84, 54, 100, 69, 69, 70, 78, 64, 58, 78, 76, 30, 30, 66, 56, 87, 75, 79,
    61, 79, 70, 64, 62, 74, 69, 99, 69,  62, 69, 40, 34, 40, 84, 50, 50, 62, 64, 55, 64, 62, 36, 64,
    64, 28, 28, 58, 28, 98, 64, 62, 64,  64, 42, 53, 40, 64, 60, 82, 60, 60, 53, 64, 34, 64, 84};

/* What is not ASCII comes from whatever font has it: room for all but a few ligatures. */
static double letter_width(uint32_t letter) {
    static const double beyond[] = {0, 1.1, 1.3};
    if (letter >= ' ' && letter <= '~') return widths[letter - ' '] / 100.0;
    return beyond[utf8_columns(letter)];
}

/* The width of the first bytes of a text. */
static double width_of_bytes(const char *text, size_t bytes) {
    double width = 0;
    for (size_t length; bytes > 0; text += length, bytes -= length)
        width += letter_width(utf8_decode(text, bytes, &length));
    return width;
}

double text_width(const char *text, double size) {
    return width_of_bytes(text, strlen(text)) * size;
}

/* How many bytes of a word go into a width: one letter at least. */
static size_t bytes_that_fit(const char *word, size_t bytes, double width) {
    size_t fit = 0, length;
    double so_far = 0;
    while (fit < bytes) {
        so_far += letter_width(utf8_decode(word + fit, bytes - fit, &length));
        if (fit > 0 && so_far > width) break;
        fit += length;
    }
    return fit;
}

struct text_lines break_text(struct arena *arena, const char *text, double size, double width) {
    struct text_lines broken = {{0}};
    double most = width / size;
    const char *start = text; /* of the line */
    size_t length = 0;        /* of the line so far */
    for (;;) {
        const char *word = start + length;
        size_t blanks = strspn(word, " "), bytes = strcspn(word + blanks, " ");
        if (length == 0) {
            start += blanks;
            blanks = 0;
        }
        if (bytes > 0 && width_of_bytes(start, length + blanks + bytes) <= most) {
            length += blanks + bytes;
            continue;
        }
        if (length == 0 && bytes > 0) length = bytes_that_fit(start, bytes, most);
        if (length > 0) *array_add(arena, &broken.lines) = arena_copy(arena, start, length);
        if (length == 0) return broken;
        start += length;
        length = 0;
    }
}
