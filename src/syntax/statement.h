/* One statement in the one layout: its words, where its second part begins, where it is broken.
 * Knows words and their kinds; nothing of what stands around it. */
#ifndef SELVAGE_SYNTAX_STATEMENT_H
#define SELVAGE_SYNTAX_STATEMENT_H

#include "syntax/layout.h"

/* Where the second parts of the statements of a paragraph begin, counted from the statement's
 * first column; 0 where the paragraph has none of that kind. */
struct columns {
    size_t plain, slots; /* `slots`: of the lists of holes */
};

/* The word after a statement's last: a line's end, a comment behind it, or "}". Comments and line
 * feeds after a comma belong to the statement. */
size_t statement_end(const struct layout *layout, size_t from);

/* Takes a statement into account; `gap` is how far a second part stands from the longest head. */
void statement_measure(const struct layout *layout, size_t from, size_t gap,
                       struct columns *columns);

/* Prints a statement that begins at the current place, LAYOUT_INDENT in. */
void statement_print(struct layout *layout, size_t from, size_t end, struct columns columns);

/* Columns of words put on one line, and printing them so. There are no comments among them. */
size_t words_width(const struct layout *layout, size_t from, size_t end);
void words_print(struct layout *layout, size_t from, size_t end);

/* A comment without the blanks at its end. */
void comment_print(struct layout *layout, const struct word *comment);

#endif
