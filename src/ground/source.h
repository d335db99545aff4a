/* The source map: every text of a compilation in one row of positions, so that eight bytes name a
 * place in any of them. Lines and columns are worked out only when something is printed. */
#ifndef SELVAGE_GROUND_SOURCE_H
#define SELVAGE_GROUND_SOURCE_H

#include "ground/arena.h"

#include <stdbool.h>
#include <stdint.h>

/* Bytes [start, end) over all texts; all zero is "no place". */
struct span {
    uint32_t start, end;
};

struct source {
    const char *name; /* as the user gave it */
    char *bytes;      /* closed by two NULs that `length` does not count */
    size_t length;
    size_t begins;   /* offset of the text behind a byte order mark */
    uint32_t base;   /* position of the first byte */
    uint32_t *lines; /* offsets of line starts; NULL until somebody asks */
    size_t line_count;
};

struct source_map {
    struct arena *arena;
    array_of(struct source *) sources;
    uint32_t next;
};

struct source_place {
    const struct source *source;
    size_t line;    /* from 1 */
    size_t column;  /* from 1, in characters */
    size_t display; /* from 1, in columns of a terminal with tab stops of eight */
};

struct source_map source_map_in(struct arena *arena);

/* Adds a copy of the text. `length` is at most LIMIT_SOURCE_BYTES. */
struct source *source_add(struct source_map *map, const char *name, const char *bytes,
                          size_t length);

/* The text a position lies in; NULL for no place. */
struct source *source_at(const struct source_map *map, uint32_t position);
struct source_place source_place(const struct source_map *map, uint32_t position);

/* A line without its end; `line` counts from 1. */
const char *source_line(const struct source_map *map, struct source *source, size_t line,
                        size_t *length);

static inline bool span_given(struct span span) { return span.end > 0; }

/* From the start of `first` to the end of `last`. */
static inline struct span span_join(struct span first, struct span last) {
    return (struct span){first.start, last.end};
}

#endif
