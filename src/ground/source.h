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
    size_t begins;             /* offset of the text behind a byte order mark */
    uint32_t base;             /* position of the first byte */
    struct source_mark *marks; /* NULL until somebody asks for a place */
    size_t mark_count;
};

/* A place every few thousand bytes, from where the next ones are counted: a text may be one line,
 * or all lines. */
struct source_mark {
    uint32_t offset, line_start;
    uint32_t line, column, display; /* from 0 */
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

/* A place in a line (as source_line gives it) from where a display column is near: its offset in
 * the line; its own display column, from 0, goes to `*display`. */
size_t source_near_column(const struct source *source, const char *line, size_t wanted,
                          size_t *display);

static inline bool span_given(struct span span) { return span.end > 0; }

/* From the start of `first` to the end of `last`. */
static inline struct span span_join(struct span first, struct span last) {
    return (struct span){first.start, last.end};
}

#endif
