/* One compilation: what the stages share and what they leave for the emitters. */
#ifndef SELVAGE_COMPILE_H
#define SELVAGE_COMPILE_H

#include "pattern/pattern.h"
#include "report/report.h"
#include "resolve/library.h"
#include "selvage.h"
#include "syntax/parse.h"

struct compiled_pattern {
    const char *name;
    struct pattern *pattern; /* NULL where it was not asked for or has no usable frame */
};

struct compilation {
    struct arena *arena;
    struct report report;
    struct source_map sources;
    struct library library;
    array_of(struct compiled_pattern) patterns;
    size_t files;   /* that were asked for by `use` lines */
    bool given_up;  /* beyond a limit: no more files are read */
    struct span at; /* what is worked on, for a finding without a place of its own */
};

/* Runs the whole way of the data. May jump to the arena's escape. */
void compile(struct compilation *compilation, const struct selvage_request *request,
             struct parser *parser);

#endif
