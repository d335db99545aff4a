/* A text with its legs written out. Knows the tree, for where they stand, and the model, for what
 * is done. */
#ifndef SELVAGE_RESOLVE_EXPAND_H
#define SELVAGE_RESOLVE_EXPAND_H

#include "ground/output.h"
#include "pattern/pattern.h"
#include "report/report.h"
#include "syntax/tree.h"

/* A source being copied, changed where it must. */
struct expansion {
    const struct source *source;
    const struct report *report; /* its settings are repeated by legs that come of one line */
    struct output out;
    size_t done;     /* bytes of the source that are copied or passed over */
    bool in_comment; /* what was written last is a comment, which ends with its line */
    bool mirrored;   /* at work on a line whose sides are exchanged */
};

struct expansion expansion_of(struct arena *arena, const struct source *source,
                              const struct report *report);

/* Writes out the legs of a pattern whose acts stand. Patterns come in the order of the source. */
void expand_pattern(struct expansion *expansion, const struct tree_definition *definition,
                    const struct pattern *pattern);

/* Copies what is left. The text is in `out`, in no particular layout. */
void expansion_end(struct expansion *expansion);

#endif
