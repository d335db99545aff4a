/* A catalogue of patterns as pages of HTML: cards for the index, what stands round them, and a page
 * for each pattern. The pages ask for nothing outside their folder. Which patterns there are
 * besides one is not known here. */
#ifndef SELVAGE_EMIT_CATALOGUE_H
#define SELVAGE_EMIT_CATALOGUE_H

#include "emit/emit.h"

/* The text a pattern is written in, and where in it the pattern stands. */
struct written_text {
    const char *name; /* of its file, without folders */
    const char *text; /* closed by a NUL */
    size_t start, end;
};

void emit_card(const struct pattern *pattern, struct output *out);
void emit_pattern_page(const struct pattern *pattern, const struct written_text *written,
                       struct output *out);

/* What comes before the cards and after them; NULL: no more. */
const char *catalogue_head(enum selvage_sides sides, size_t part);
const char *catalogue_tail(size_t part);

#endif
