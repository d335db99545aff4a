/* Type in the drawing: how wide a text is set, and lines that fit a width. No font is read: the
 * widths are those of DejaVu Sans, the widest of the families the drawing asks for, so that a text
 * takes no more room than is kept for it. */
#ifndef SELVAGE_EMIT_TYPE_H
#define SELVAGE_EMIT_TYPE_H

#include "ground/arena.h"

/* How wide a text is in type of `size`, in the measure of `size`; at most, not exactly. */
double text_width(const char *text, double size);

/* How much wider bold digits, H and T are. */
#define BOLD_WIDER 1.12

struct text_lines {
    array_of(const char *) lines;
};

/* Breaks a text into lines no wider than `width`, at blanks; inside a word only where the word
 * alone is wider. Owned by the arena. */
struct text_lines break_text(struct arena *arena, const char *text, double size, double width);

#endif
