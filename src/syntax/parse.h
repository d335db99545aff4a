/* From bytes to a tree, or to bytes in the one layout. Knows the scanner, the parser, the tree and
 * the layout; no model. */
#ifndef SELVAGE_SYNTAX_PARSE_H
#define SELVAGE_SYNTAX_PARSE_H

#include "report/report.h"
#include "ground/output.h"
#include "syntax/tree.h"

/* The parser's stacks are malloc's; they are made before the arena's escape is set and freed after
 * it, so that no jump leaks them. One parser serves any number of texts, one after another. */
struct parser;
struct parser *parser_new(void); /* NULL when there is no memory */
void parser_free(struct parser *parser);
void parser_forget(struct parser *parser); /* what it has counted: another text begins */

/* Parses a text that reader_judge has accepted. Faults are in the report; the tree holds what could
 * be read. Never NULL. */
struct tree *parse(struct parser *parser, struct arena *arena, struct report *report,
                   struct source *source);

/* Parses such a text only to see that it can be read, and prints it in the one layout. False where
 * there are errors; `out` then holds nothing of use. What it takes of the arena is little more than
 * `out`. */
bool lay_out(struct parser *parser, struct arena *arena, struct report *report,
             struct source *source, struct output *out);

#endif
