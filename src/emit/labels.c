/* Places for numbers and names: of holes, outside and clear of the loops; of strands and their
 * pulls, between crossings. No label lies on another while there is room for it anywhere. */
#include "emit/layout.h"
#include "emit/type.h"

#include <math.h>

/* ---- what a label takes ---- */

const char *hole_number(const struct hole *hole) { return hole->id + (hole->side != SIDE_CENTRE); }

const char *strand_label(const struct strand *strand) {
    return strand->id + (strand->side != SIDE_CENTRE);
}

/* Framed where the hole is a first one or has a knot. */
static struct box number_box(const struct layout *layout, int hole) {
    double size = NUMBER_SIZE * layout->unit;
    double width = text_width(hole_number(&layout->pattern->frame->holes[hole]), size);
    if (is_knot_hole(layout->pattern, hole))
        return (struct box){{0, 0}, width * BOLD_WIDER + size * 0.5, size * 1.35};
    if (is_first_hole(layout->pattern, hole))
        return (struct box){{0, 0}, width + size * 0.5, size * 1.35};
    return (struct box){{0, 0}, width, size};
}

struct box name_box(const struct layout *layout, int strand) {
    double size = NAME_SIZE * layout->unit;
    const char *name = strand_label(&layout->pattern->frame->strands[strand]);
    return (struct box){{0, 0}, text_width(name, size) + size * 0.1, size * 1.05};
}

struct box count_box(const struct layout *layout, int strand) {
    double size = NAME_SIZE * layout->unit;
    int pull = layout->strands[strand].pull;
    const char *digits = pull > 99 ? "100" : pull > 9 ? "10" : "1";
    double width = text_width(digits, size) + size * 0.2, height = size * 1.2;
    return (struct box){{0, 0}, fmax(width, height), height};
}

static bool boxes_meet(const struct box *a, const struct box *b, double gap) {
    return fabs(a->centre.x - b->centre.x) < (a->width + b->width) / 2 + gap &&
           fabs(a->centre.y - b->centre.y) < (a->height + b->height) / 2 + gap;
}

/* ---- numbers of holes ---- */

/* mm on paper */
static const double LOOP_GAP = 0.9;  /* from the middle of a loop to a number */
static const double LABEL_GAP = 0.4; /* from one number to another */
static const double NUDGE = 0.3;

static struct point cubic_at(const struct point *p, double t) {
    double s = 1 - t, a = s * s * s, b = 3 * s * s * t, c = 3 * s * t * t, d = t * t * t;
    return (struct point){a * p[0].x + b * p[1].x + c * p[2].x + d * p[3].x,
                          a * p[0].y + b * p[1].y + c * p[2].y + d * p[3].y};
}

static bool holds(const struct box *box, struct point at, double gap) {
    return fabs(at.x - box->centre.x) < box->width / 2 + gap &&
           fabs(at.y - box->centre.y) < box->height / 2 + gap;
}

/* A cubic lies within the box of its four points, and a curve within that of all its points. */
static struct box box_around(const struct point *points, int count) {
    struct point low = points[0], high = points[0];
    for (int i = 1; i < count; i++) {
        struct point at = points[i];
        if (at.x < low.x) low.x = at.x;
        if (at.y < low.y) low.y = at.y;
        if (at.x > high.x) high.x = at.x;
        if (at.y > high.y) high.y = at.y;
    }
    return (struct box){
        {(low.x + high.x) / 2, (low.y + high.y) / 2}, high.x - low.x, high.y - low.y};
}

/* Whether a curve comes near a box. */
static bool curve_meets(const struct curve *curve, const struct box *box, double gap) {
    enum { STEPS = 16 };
    for (int i = 0; i < curve->count; i++) {
        const struct point *p = &curve->at[3 * i];
        struct box around = box_around(p, 4);
        if (!boxes_meet(&around, box, gap)) continue;
        for (int k = 0; k <= STEPS; k++)
            if (holds(box, cubic_at(p, k / (double)STEPS), gap)) return true;
    }
    return false;
}

static bool number_is_clear(const struct layout *layout, int hole, const struct box *box) {
    for (int i = 0; i < hole; i++)
        if (boxes_meet(box, &layout->numbers[i], LABEL_GAP * layout->unit)) return false;
    double gap = LOOP_GAP * layout->unit;
    for (size_t i = 0; i < layout->pattern->loops.count; i++) {
        const struct loop_layout *loop = &layout->loops[i];
        if (boxes_meet(&loop->around, box, gap) && curve_meets(&loop->path, box, gap)) return false;
    }
    return true;
}

/* Beyond every loop over the hole; a wide number needs more room beside the hoop than above it.
 * From there outwards until nothing is near. */
void place_hole_numbers(struct layout *layout) {
    enum { MOST_NUDGES = 200 };
    const struct frame *frame = layout->pattern->frame;
    for (size_t i = 0; i < layout->pattern->loops.count; i++) {
        struct loop_layout *loop = &layout->loops[i];
        loop->around = box_around(loop->path.at, 1 + 3 * loop->path.count);
    }
    for (int i = 0; i < frame->hole_count; i++) {
        const struct hole *hole = &frame->holes[i];
        int track = layout->highest_track[i];
        struct box box = number_box(layout, i);
        double distance = (track < 0 ? frame->wall : track_offset(layout, track)) +
                          LOOP_GAP * layout->unit + fabs(hole->outward.x) * box.width / 2 +
                          fabs(hole->outward.y) * box.height / 2;
        for (int nudge = 0; nudge < MOST_NUDGES; nudge++, distance += NUDGE * layout->unit) {
            box.centre = along(hole->at, hole->outward, distance);
            if (number_is_clear(layout, i, &box)) break;
        }
        layout->numbers[i] = box;
    }
}

/* Whether a line down the page at that distance from the middle runs through a number. */
static bool numbers_at(const struct layout *layout, double x) {
    const struct frame *frame = layout->pattern->frame;
    for (int i = 0; i < frame->hole_count; i++) {
        const struct box *box = &layout->numbers[i];
        double reach = box->width / 2 + LABEL_GAP * layout->unit;
        if (box->centre.y > frame->outline.length && fabs(fabs(box->centre.x) - x) < reach)
            return true;
    }
    return false;
}

/* About as wide as a shaft is, in mm of the racket. */
void fit_shaft(struct layout *layout) {
    const double usual = 8, step = 0.25, most = 4;
    layout->shaft_half = usual;
    for (double off = 0; off <= most; off += step)
        for (int side = -1; side <= 1; side += 2)
            if (!numbers_at(layout, usual + side * off)) {
                layout->shaft_half = usual + side * off;
                return;
            }
}

/* ---- names of strands, numbers of pulls ---- */

/* mm of the racket kept between a label and a crossing: that much where the middle of the strand
 * has room for it, so that the strand is seen on both sides; at the least; and between labels. */
static const double CLEAR = 2.6, LEAST_CLEAR = 1.0, APART = 0.3;
/* ... and from an end of a strand. */
static const double END_CLEAR = 1.5;
/* A name rather comes nearer to a crossing than that it stands far from its end. */
static const double NAME_CLEAR = 0.4, NAME_REACH = 25;

struct boxes {
    array_of(struct box) placed;
};

static bool clear_of(const struct boxes *boxes, const struct box *box) {
    for (size_t i = 0; i < boxes->placed.count; i++)
        if (boxes_meet(box, &boxes->placed.at[i], APART)) return false;
    return true;
}

/* A label looking for its place along a strand. */
struct search {
    const struct strand_layout *strand;
    const struct boxes *boxes;
    double wanted, size; /* the place along the strand, and what the label takes there */
    struct box box;
};

/* A stretch between two crossings, or a crossing and an end. */
static void stretch(const struct strand_layout *strand, int number, double clear, double *low,
                    double *high) {
    *low = number == 0 ? END_CLEAR : strand->meetings[number - 1].way + clear;
    *high = number == strand->meeting_count ? strand->length - END_CLEAR - ARROW_LENGTH
                                            : strand->meetings[number].way - clear;
}

static bool try_at(struct search *search, double at) {
    search->box.centre = along(search->strand->from, search->strand->way, at);
    return clear_of(search->boxes, &search->box);
}

/* From a place in a stretch to either side, until there is no label. */
static bool try_within(struct search *search, double at, double low, double high) {
    double step = search->size / 2;
    for (double away = 0; at - away >= low || at + away <= high; away += step) {
        if (at - away >= low && try_at(search, at - away)) return true;
        if (at + away <= high && away > 0 && try_at(search, at + away)) return true;
    }
    return false;
}

/* The stretches one after another, the nearest to the place wanted first, of two alike that to the
 * right or below; as far as `reach` from it; in the middle of the stretch, or as near to the place
 * wanted as it goes. */
static bool try_stretches(struct search *search, double clear, double reach, bool middle) {
    const struct strand_layout *strand = search->strand;
    int near = 0, first = strand->way.x + strand->way.y > 0 ? 1 : -1;
    double alike = 0.05 * first;
    while (near < strand->meeting_count && strand->meetings[near].way <= search->wanted + alike)
        near++;
    for (int away = 0; away <= strand->meeting_count; away++)
        for (int side = 0; side < (away == 0 ? 1 : 2); side++) {
            int i = near + (side == 0 ? first : -first) * away;
            if (i < 0 || i > strand->meeting_count) continue;
            double low, high;
            stretch(strand, i, clear, &low, &high);
            low = fmax(low + search->size / 2, search->wanted - reach);
            high = fmin(high - search->size / 2, search->wanted + reach);
            if (low > high) continue;
            double at = middle ? (low + high) / 2 : fmin(fmax(search->wanted, low), high);
            if (try_within(search, at, low, high)) return true;
        }
    return false;
}

/* Anywhere on the strand where no label is, for frames so dense that no stretch holds one. */
static bool try_anywhere(struct search *search) {
    double step = search->size / 4;
    for (double away = 0; away < search->strand->length; away += step)
        for (int side = 0; side < 2; side++) {
            double at = search->wanted + (side == 0 ? away : -away);
            if (at < 0 || at > search->strand->length) continue;
            if (try_at(search, at)) return true;
        }
    try_at(search, search->wanted);
    return false;
}

static struct search search_for(const struct layout *layout, const struct boxes *boxes, int strand,
                                double wanted, struct box box) {
    struct point way = layout->strands[strand].way;
    double size = fmin(box.width / fmax(fabs(way.x), 1e-9), box.height / fmax(fabs(way.y), 1e-9));
    return (struct search){&layout->strands[strand], boxes, wanted, size, box};
}

/* A name stands as near as it can to the end of its strand. */
static struct point place_name(struct layout *layout, struct boxes *boxes, struct arena *arena,
                               int strand, bool leaving) {
    double wanted = leaving ? layout->strands[strand].length : 0;
    struct search search = search_for(layout, boxes, strand, wanted, name_box(layout, strand));
    if (!try_stretches(&search, LEAST_CLEAR, NAME_REACH, false) &&
        !try_stretches(&search, NAME_CLEAR, 2 * NAME_REACH, false) &&
        !try_stretches(&search, LEAST_CLEAR, INFINITY, false)) {
        layout->strays++;
        if (!try_anywhere(&search)) layout->crowded = true;
    }
    *array_add(arena, &boxes->placed) = search.box;
    return search.box.centre;
}

/* The number of a pull stands near the middle, and leaves the crossings beside it to be seen. */
static struct point place_count(struct layout *layout, struct boxes *boxes, struct arena *arena,
                                int strand) {
    double length = layout->strands[strand].length;
    struct search search = search_for(layout, boxes, strand, length / 2, count_box(layout, strand));
    if (!try_stretches(&search, CLEAR, length / 6, false) &&
        !try_stretches(&search, LEAST_CLEAR, INFINITY, true)) {
        layout->crowded = true;
        try_anywhere(&search);
    }
    *array_add(arena, &boxes->placed) = search.box;
    return search.box.centre;
}

/* Names first, since they belong to a place; then the numbers. */
void place_strand_labels(struct layout *layout, struct arena *arena) {
    int count = layout->pattern->frame->strand_count;
    struct boxes boxes = {{0}};
    array_reserve(arena, &boxes.placed, 3 * count + 1);
    for (int i = 0; i < count; i++)
        for (int k = 0; k < layout->names; k++)
            layout->strands[i].name_at[k] = place_name(layout, &boxes, arena, i, k == 1);
    for (int i = 0; layout->counts && i < count; i++)
        layout->strands[i].number_at = place_count(layout, &boxes, arena, i);
}
