/* How large the drawing of a pattern gets by its scale, and how far its type may grow against it.
 */
#include "emit/cardset.h"

struct layout *lay_out_drawn(const struct pattern *pattern, struct arena *arena, double unit,
                             enum card_drawing drawing) {
    return lay_out_bare(pattern, arena, unit, drawing == DRAWN_WHOLE,
                        drawing == DRAWN_DENSE ? 1 : 2);
}

/* Of so many names one may lie on a crossing. */
static const int names_a_stray[CARD_DRAWINGS] = {12, 12, 3};

static struct area area_at(const struct pattern *pattern, struct arena *arena, double unit,
                           enum card_drawing drawing, bool *crowded) {
    struct arena_mark mark = arena_mark(arena);
    const struct layout *layout = lay_out_drawn(pattern, arena, unit, drawing);
    struct figure figure = {.layout = layout, .prefix = "", .bare = true};
    struct area area = figure_area(&figure);
    *crowded = layout->crowded || layout->strays * names_a_stray[drawing] >
                                      layout->names * pattern->frame->strand_count;
    arena_rewind(arena, mark);
    return area;
}

/* A drawing of few strands has room for its labels at any size: it stays one that is looked at. */
static const int most_rounds[CARD_DRAWINGS] = {12, 12, 24};

/* From the size of an A4 page upwards until labels have no place; the line through both sizes. */
static struct figure_shape shape_by(const struct pattern *pattern, struct arena *arena,
                                    enum card_drawing drawing) {
    const double step = 1.05;
    bool crowded = false;
    double least = pattern->frame->outline.length / 220, most = least * step;
    struct area small = area_at(pattern, arena, least, drawing, &crowded),
                large = area_at(pattern, arena, most, drawing, &crowded);
    for (int round = 0; !crowded && round < most_rounds[drawing]; round++) {
        struct area area = area_at(pattern, arena, most * step, drawing, &crowded);
        if (crowded) break;
        most *= step;
        large = area;
    }
    struct figure_span width = {0, (large.width - small.width) / (most - least)},
                       height = {0, (large.height - small.height) / (most - least)};
    width.from = small.width - width.by * least;
    height.from = small.height - height.by * least;
    return (struct figure_shape){width, height, most};
}

struct card_subject *card_subject_of(const struct pattern *pattern, struct arena *arena) {
    struct card_subject *subject = arena_one(arena, struct card_subject);
    subject->brief = brief_of(pattern, arena);
    for (int drawing = 0; drawing < CARD_DRAWINGS; drawing++)
        subject->shapes[drawing] = shape_by(pattern, arena, (enum card_drawing)drawing);
    return subject;
}
