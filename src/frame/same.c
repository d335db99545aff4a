/* Whether two frames, of two texts perhaps, are one: the same name, the same holes with the same
 * strands, in the same places. What a frame allows may differ: knots, lanes, tensions. */
#include "frame/frame.h"

#include "ground/output.h"

#include <math.h>
#include <string.h>

static const double SAME_PLACE = 0.05; /* mm */

static bool same_hole(const struct frame *a, const struct frame *b, int hole) {
    const struct hole *one = &a->holes[hole], *other = &b->holes[hole];
    if (strcmp(one->id, other->id) != 0 || one->strand_count != other->strand_count) return false;
    for (int i = 0; i < one->strand_count; i++)
        if (strcmp(a->strands[one->strands[i]].id, b->strands[other->strands[i]].id) != 0)
            return false;
    return true;
}

const char *frame_difference(const struct frame *a, const struct frame *b, struct arena *arena) {
    if (a == b) return NULL;
    if (strcmp(a->name, b->name) != 0)
        return format(arena, "one is for the frame %s, the other for %s", a->name, b->name);
    const char *but = format(arena, "both frames are called %s, but", a->name);
    if (a->main_count != b->main_count || a->cross_count != b->cross_count)
        return format(arena, "%s one is %d x %d and the other %d x %d", but, a->main_count,
                      a->cross_count, b->main_count, b->cross_count);
    if (a->hole_count != b->hole_count)
        return format(arena, "%s one has %d holes and the other %d", but, a->hole_count,
                      b->hole_count);
    for (int i = 0; i < a->hole_count; i++) {
        if (!same_hole(a, b, i))
            return format(arena, "%s %s is not the same hole in both", but, a->holes[i].name);
        double gap =
            hypot(a->holes[i].at.x - b->holes[i].at.x, a->holes[i].at.y - b->holes[i].at.y);
        if (gap > SAME_PLACE)
            return format(arena, "%s %s does not lie in the same place", but, a->holes[i].name);
    }
    if (fabs(a->wall - b->wall) > SAME_PLACE)
        return format(arena, "%s their walls are not the same", but);
    return NULL;
}
