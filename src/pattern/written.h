/* Legs as a text: acts of the model, written in the language as legs of single ends. */
#ifndef SELVAGE_PATTERN_WRITTEN_H
#define SELVAGE_PATTERN_WRITTEN_H

#include "ground/output.h"
#include "pattern/pattern.h"

/* Comments to stand by every leg. */
struct leg_comments {
    const char *above;  /* each with a line feed before it; "": none */
    const char *behind; /* one, with a blank before it; "": none */
};

/* Writes acts [first, end) as legs that are done in the same order, each on a new line. */
void write_legs(const struct pattern *pattern, size_t first, size_t end,
                struct leg_comments comments, struct output *out);

#endif
