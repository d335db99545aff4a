/* A pattern with its sides exchanged. This is the one place where that is done: all that comes
 * later takes the exchanged words for what was written. The frame stays as it is. */
#ifndef SELVAGE_RESOLVE_MIRROR_H
#define SELVAGE_RESOLVE_MIRROR_H

#include "resolve/library.h"

/* Whether a pattern for this frame is to be mirrored. A finding where a long side is asked of two
 * pieces, which have none, unless they are to be left. `frame` may be NULL or not mapped. */
bool wants_mirror(struct library *library, const struct tree_definition *pattern,
                  const struct frame *frame, const struct wishes *wishes);

/* The side of the long end where the pattern does not say: the one the frame leaves for it, else
 * the right. */
enum side assumed_long_side(const struct frame *frame);

/* A copy with left for right and right for left, of strands, holes and ends. Spans stay. */
struct tree_definition *mirror_pattern(struct arena *arena, const struct tree_definition *pattern);

#endif
