/* One compilation: what the stages share and what they leave for the emitters. */
#ifndef SELVAGE_COMPILE_H
#define SELVAGE_COMPILE_H

#include "emit/ways.h"
#include "pattern/pattern.h"
#include "report/report.h"
#include "resolve/library.h"
#include "selvage.h"
#include "syntax/parse.h"

struct compiled_pattern {
    const char *name;
    const struct tree_definition *definition;
    struct pattern *pattern;     /* NULL where it was not asked for or has no usable frame */
    const struct pattern *asked; /* the same before legs were found, where it is kept */
};

struct compilation {
    struct arena *arena;
    struct report report;
    struct source_map sources;
    struct library library;
    array_of(struct compiled_pattern) patterns;
    struct output
        layout;         /* the text in the one layout, where that was all that was asked for ... */
    bool laid_out;      /* ... and it could be read */
    bool whole;         /* every pattern that was asked for is kept */
    size_t files;       /* that were asked for by `use` lines */
    const char *misuse; /* a name of the request that nothing has; NULL: there is none */
    long search_left;   /* states that searches for legs may still look at */
    bool given_up;      /* beyond a limit: no more files are read */
    struct span at;     /* what is worked on, for a finding without a place of its own */
};

/* Runs the whole way of the data. May jump to the arena's escape. */
void compile(struct compilation *compilation, const struct selvage_request *request,
             struct parser *parser);

/* The text of a whole compilation without errors, in the one layout, its legs written out. May jump
 * to the arena's escape. */
struct output expand(struct compilation *compilation, struct parser *parser);

/* The best ways to string a pattern, each through every stage. May jump to the arena's escape. */
void find_ways(struct compilation *compilation, size_t pattern, int most, struct listed_ways *ways);

/* The text with its safe changes made; how many. A line is mended so that it reads, or left as it
 * is. */
size_t mend(struct compilation *c, struct parser *parser, struct output *out);

#endif
