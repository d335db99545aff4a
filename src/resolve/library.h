/* The names of one compilation: every definition of the file and of the files it uses, by name. */
#ifndef SELVAGE_RESOLVE_LIBRARY_H
#define SELVAGE_RESOLVE_LIBRARY_H

#include "frame/frame.h"
#include "pattern/kit.h"
#include "pattern/pattern.h"
#include "report/report.h"
#include "syntax/tree.h"

/* A definition and what became of it. */
struct entry {
    const struct tree_definition *definition;
    bool own; /* written in the file itself, not in one it uses */
    bool used;
    struct frame *frame; /* of its kind, once resolved */
    struct string *string;
    struct bench *bench;
};

struct library {
    struct arena *arena;
    struct report *report;
    array_of(struct entry) entries;
    uint32_t *table; /* of entries by kind and name: their numbers from 1, 0 where nothing stands */
    size_t table_room;
    struct bench *assumed_bench;
    size_t compared; /* names held against misspelt ones, of all */
    bool damaged;    /* some text could not be read: say nothing of names that are missing */
};

/* What the command asks of every pattern, in place of what the pattern says. */
struct wishes {
    const char *string, *bench; /* by name; NULL: none */
    bool mirror;                /* sides exchanged ... */
    enum side long_side;        /* ... where the long side is not this; SIDE_UNSAID: none asked */
    bool where_any;             /* two pieces, which have none, are left as written */
};

struct library library_in(struct arena *arena, struct report *report);

/* Adds the definitions of a tree; two of a kind with one name are reported, both shown. */
void library_add(struct library *library, const struct tree *tree, bool own);

/* The definition of a kind and name; where there is none, a finding at the name's place that says
 * which name is near. */
struct entry *library_find(struct library *library, enum definition_kind kind,
                           struct tree_name name);

/* Frames, strings and benches of the file itself that none of its patterns uses; nothing where the
 * file has no pattern. */
void library_judge_unused(struct library *library);

/* Resolve the blocks of each kind into the model. */
void resolve_frame(struct library *library, struct entry *entry);
void resolve_string(struct library *library, struct entry *entry);
void resolve_bench(struct library *library, struct entry *entry);

/* NULL where it has no usable frame. Legs are resolved only where the frame is mapped. */
struct pattern *resolve_pattern(struct library *library, const struct tree_definition *definition,
                                const struct wishes *wishes);

/* Lists notes of a block in the order written. */
/* The same without a word; NULL where there is none. */
struct entry *library_look(struct library *library, enum definition_kind kind, const char *name);

/* The name nearest to one there is not; NULL where none is near. */
const char *library_nearest(struct library *library, enum definition_kind kind, const char *name);

struct note_line *collect_notes(struct arena *arena, const struct tree_line *lines);

#endif
