/* Running text: wrapped for a terminal and a printer, or as Markdown. */
#ifndef SELVAGE_EMIT_PROSE_H
#define SELVAGE_EMIT_PROSE_H

#include "ground/output.h"

enum { WIDTH = 80 };

/* Words wrapped at WIDTH, the first line beginning at the present column, the others at `indent`.
 */
void put_wrapped(struct output *out, const char *text, size_t column, size_t indent);

/* The same for a sum or a list of terms, wrapped only behind a comma or before + - =, so that no
 * term is torn. Words stand one space apart. */
void put_terms(struct output *out, const char *text, size_t column, size_t indent);

/* Text in which nothing is taken for markup. */
void put_markdown(struct output *out, const char *text);

#endif
