/* The geometry of the drawing. */
#include "emit/layout.h"

#include <math.h>
#include <stdlib.h>

static const double A4_WIDTH = 210, A4_RATIO = 297.0 / 210.0;
static const double TITLE_ROOM = 33, SIDE_ROOM = 6;    /* mm on paper */
static const double LOOP_FIRST = 2.4, LOOP_STEP = 2.3; /* mm on paper, from the hoop's edge */
static const double LABEL_GAP = 0.9;                   /* from the loop to a number */
static const double GAP = 2.0;                         /* mm of the racket beside a strand on top */
static const double ARROW = 4.4;

static struct point along(struct point from, struct point way, double distance) {
    return (struct point){from.x + way.x * distance, from.y + way.y * distance};
}

/* A point of the whole hoop at an arc from the head's centre line, clockwise. */
static struct point hoop_at(const struct frame *frame, double arc, struct point *outward) {
    double half = frame->outline.half_arc, whole = 2 * half;
    arc = fmod(arc, whole);
    if (arc < 0) arc += whole;
    if (arc <= half) return outline_at(&frame->outline, arc, outward);
    struct point at = outline_at(&frame->outline, whole - arc, outward);
    at.x = -at.x;
    outward->x = -outward->x;
    return at;
}

/* Adds a cubic from the last point of a curve. */
static void add_cubic(struct curve *curve, struct point first_handle, struct point second_handle,
                      struct point end) {
    struct point *at = &curve->at[1 + 3 * curve->count++];
    at[0] = first_handle;
    at[1] = second_handle;
    at[2] = end;
}

/* The way round the hoop at a point: the outward normal turned a quarter, clockwise. */
static struct point onwards(struct point outward) { return (struct point){-outward.y, outward.x}; }

/* Goes along the hoop at an offset from its inside, from one arc to another, in cubics that are as
 * good as circles: handles of a third of the way, a little more where it bends. */
static void follow_hoop(const struct frame *frame, struct curve *curve, double from, double to,
                        double offset, int pieces) {
    double sign = to >= from ? 1 : -1;
    struct point before_out, before = hoop_at(frame, from, &before_out);
    before = along(before, before_out, offset);
    for (int i = 1; i <= pieces; i++) {
        struct point out, at = hoop_at(frame, from + (to - from) * i / pieces, &out);
        at = along(at, out, offset);
        double chord = hypot(at.x - before.x, at.y - before.y);
        double turn = fabs(before_out.x * out.y - before_out.y * out.x); /* sine of the bend */
        double handle = sign * chord / 3 * (1 + turn * turn / 16);
        add_cubic(curve, along(before, onwards(before_out), handle),
                  along(at, onwards(out), -handle), at);
        before = at;
        before_out = out;
    }
}

static struct curve hoop_edge(const struct frame *frame, struct arena *arena, double offset) {
    enum { PIECES = 32 };
    struct curve edge = {arena_many(arena, struct point, 1 + 3 * PIECES), 0};
    struct point outward, at = hoop_at(frame, 0, &outward);
    edge.at[0] = along(at, outward, offset);
    follow_hoop(frame, &edge, 0, 2 * frame->outline.half_arc, offset, PIECES);
    return edge;
}

/* ---- loops ---- */

/* The way clockwise from one arc to another. */
static double way_round(const struct frame *frame, double from, double to) {
    return to >= from ? to - from : to - from + 2 * frame->outline.half_arc;
}

/* Whether two loops run beside one another: their arcs share more than an end. */
static bool overlap(const struct frame *frame, const struct loop *a, const struct loop *b) {
    double a_start = frame->holes[a->clockwise ? a->from : a->to].arc;
    double b_start = frame->holes[b->clockwise ? b->from : b->to].arc;
    return way_round(frame, a_start, b_start) < a->length - 0.5 ||
           way_round(frame, b_start, a_start) < b->length - 0.5;
}

/* How far out each loop runs: on the first track where no shorter one beside it runs. */
static int *find_tracks(const struct pattern *pattern, struct arena *arena) {
    size_t count = pattern->loops.count;
    int *tracks = arena_many(arena, int, count + 1), *order = arena_many(arena, int, count + 1);
    for (size_t i = 0; i < count; i++) {
        size_t k = i;
        for (; k > 0 && pattern->loops.at[order[k - 1]].length > pattern->loops.at[i].length; k--)
            order[k] = order[k - 1];
        order[k] = (int)i;
    }
    for (size_t i = 0; i < count; i++)
        for (size_t k = 0; k < i; k++) {
            const struct loop *shorter = &pattern->loops.at[order[k]],
                              *loop = &pattern->loops.at[order[i]];
            if (overlap(pattern->frame, shorter, loop) && tracks[order[k]] >= tracks[order[i]])
                tracks[order[i]] = tracks[order[k]] + 1;
        }
    return tracks;
}

static double track_offset(const struct layout *layout, int track) {
    return layout->pattern->frame->wall + (LOOP_FIRST + LOOP_STEP * track) * layout->unit;
}

/* Out of the first hole, along the hoop at `offset`, into the second: a bow where they are near. */
static struct curve loop_path(const struct layout *layout, struct arena *arena,
                              const struct loop *loop, double offset) {
    const struct frame *frame = layout->pattern->frame;
    const struct hole *a = &frame->holes[loop->from], *b = &frame->holes[loop->to];
    struct point from = layout->hole_outside[loop->from], to = layout->hole_outside[loop->to];
    double ramp = 3.2 * layout->unit, sign = loop->clockwise ? 1 : -1, rise = offset - frame->wall;
    double middle = loop->length - 2 * ramp;
    int pieces = middle > 0 ? 1 + (int)(middle / 25) : 0;
    struct curve path = {arena_many(arena, struct point, 1 + 3 * (pieces + 2)), 0};
    path.at[0] = from;
    if (pieces == 0) {
        add_cubic(&path, along(from, a->outward, rise * 4 / 3), along(to, b->outward, rise * 4 / 3),
                  to);
        return path;
    }
    double start = a->arc + sign * ramp, stop = a->arc + sign * (loop->length - ramp);
    struct point up_out, up = hoop_at(frame, start, &up_out);
    struct point down_out, down = hoop_at(frame, stop, &down_out);
    up = along(up, up_out, offset);
    down = along(down, down_out, offset);
    add_cubic(&path, along(from, a->outward, rise * 0.6),
              along(up, onwards(up_out), -sign * ramp * 0.6), up);
    follow_hoop(frame, &path, start, stop, offset, pieces);
    add_cubic(&path, along(down, onwards(down_out), sign * ramp * 0.6),
              along(to, b->outward, rise * 0.6), to);
    return path;
}

static void lay_out_loops(struct layout *layout, struct arena *arena, const int *tracks) {
    const struct pattern *pattern = layout->pattern;
    layout->loops = arena_many(arena, struct loop_layout, pattern->loops.count + 1);
    int numbers[3] = {0};
    for (size_t i = 0; i < pattern->loops.count; i++) {
        const struct loop *loop = &pattern->loops.at[i];
        layout->loops[i].path = loop_path(layout, arena, loop, track_offset(layout, tracks[i]));
        layout->loops[i].number = loop->kind == LOOP_FOLD ? 0 : ++numbers[loop->end];
    }
}

static void raise_to(int *highest, int track) {
    if (track > *highest) *highest = track;
}

/* By hole: the farthest track of the loops over it, -1 where there is none. */
static int *tracks_over_holes(const struct pattern *pattern, struct arena *arena,
                              const int *tracks) {
    int *highest = arena_many(arena, int, pattern->frame->hole_count + 1);
    for (int i = 0; i < pattern->frame->hole_count; i++)
        highest[i] = -1;
    for (size_t i = 0; i < pattern->loops.count; i++) {
        const struct loop *loop = &pattern->loops.at[i];
        raise_to(&highest[loop->from], tracks[i]);
        raise_to(&highest[loop->to], tracks[i]);
        for (int k = 0; k < loop->pass_count; k++)
            raise_to(&highest[loop->passes[k]], tracks[i]);
    }
    return highest;
}

static double label_width(const struct layout *layout, double size, int letters) {
    return letters * 0.62 * size * layout->unit;
}

/* How far from the hoop's inside the middle of a hole's number stands, so that it is clear of every
 * loop over the hole: a wide number needs more room beside the hoop than above it. */
static double number_offset(const struct layout *layout, int track, struct point outward,
                            int letters) {
    double edge = track < 0 ? layout->pattern->frame->wall : track_offset(layout, track);
    return edge + LABEL_GAP * layout->unit +
           fabs(outward.x) * label_width(layout, NUMBER_SIZE, letters) / 2 +
           fabs(outward.y) * NUMBER_SIZE * layout->unit / 2;
}

/* ---- strands ---- */

struct meeting {
    double way; /* from where the strand enters */
    bool under;
};

static int by_way(const void *left, const void *right) {
    const struct meeting *a = left, *b = right;
    return a->way < b->way ? -1 : a->way > b->way;
}

/* Stretches of a strand between its crossings, as room for names and numbers. */
struct room {
    double from, to; /* from where the strand enters */
};

struct box {
    struct point centre;
    double width, height;
};

/* Names and numbers placed so far; a new one keeps clear of them. */
struct boxes {
    array_of(struct box) placed;
};

static bool clear_of(const struct boxes *boxes, const struct box *box) {
    for (size_t i = 0; i < boxes->placed.count; i++) {
        const struct box *other = &boxes->placed.at[i];
        if (fabs(box->centre.x - other->centre.x) < (box->width + other->width) / 2 &&
            fabs(box->centre.y - other->centre.y) < (box->height + other->height) / 2)
            return false;
    }
    return true;
}

/* A strand as a line to place things on. */
struct track_line {
    struct point from, way;
    double length;
    const struct room *rooms;
    int room_count;
    bool upright;
};

/* A label may reach this much beyond its room: it hides no more than the edge of a strand. */
static const double SNUG = 0.9;

/* Where in a room a label comes nearest to `wanted`; false where the room is too small, and then
 * the middle of it. */
static bool fit_label(const struct room *room, double wanted, double size, double *at) {
    double low = room->from + size * SNUG / 2, high = room->to - size * SNUG / 2;
    *at = low <= high ? fmin(fmax(wanted, low), high) : (low + high) / 2;
    return low <= high;
}

/* The room that holds `wanted`, or the one before it. */
static int room_at(const struct track_line *line, double wanted) {
    int low = 0;
    while (low + 1 < line->room_count && line->rooms[low + 1].from <= wanted)
        low++;
    return low;
}

/* Places a label of the given size near `wanted`: room by room away from there on both sides, the
 * first that it fits and where it is clear of all others. Where there is none, in the room at
 * `wanted`. */
static struct point place_label(struct boxes *boxes, struct arena *arena,
                                const struct track_line *line, double wanted, double width,
                                double height) {
    double size = line->upright ? height : width, best, at;
    struct box box = {{0, 0}, width, height};
    int near = room_at(line, wanted);
    bool placed = false;
    fit_label(&line->rooms[near], wanted, size, &best);
    for (int away = 0; away < line->room_count && !placed; away++)
        for (int side = 0; side < 2 && !placed; side++) {
            int i = side == 0 ? near + away : near - away;
            if (i < 0 || i >= line->room_count) continue;
            if (!fit_label(&line->rooms[i], wanted, size, &at)) continue;
            box.centre = along(line->from, line->way, at);
            placed = clear_of(boxes, &box);
            if (placed) best = at;
        }
    box.centre = along(line->from, line->way, best);
    *array_add(arena, &boxes->placed) = box;
    return box.centre;
}

static struct meeting *find_meetings(const struct layout *layout, struct arena *arena, int strand,
                                     struct point from, int *count) {
    const struct pattern *pattern = layout->pattern;
    const struct frame *frame = pattern->frame;
    bool is_main = frame->strands[strand].kind == MAIN;
    struct meeting *meetings = arena_many(arena, struct meeting, frame->strand_count + 1);
    *count = 0;
    for (size_t i = 0; i < pattern->crossings.count; i++) {
        const struct crossing *crossing = &pattern->crossings.at[i];
        if ((is_main ? crossing->main : crossing->cross) != strand) continue;
        struct point at = crossing_point(frame, crossing->main, crossing->cross);
        meetings[(*count)++] =
            (struct meeting){hypot(at.x - from.x, at.y - from.y),
                             is_main ? !crossing->main_over : crossing->main_over};
    }
    qsort(meetings, (size_t)*count, sizeof *meetings, by_way);
    return meetings;
}

static void cut_pieces(struct strand_layout *strand, struct arena *arena, struct point from,
                       struct point way, double length, const struct meeting *meetings, int count) {
    strand->pieces = arena_many(arena, struct piece, count + 1);
    double start = 0;
    for (int i = 0; i <= count; i++) {
        if (i < count && !meetings[i].under) continue;
        double stop = i < count ? meetings[i].way - GAP : length;
        if (stop > start)
            strand->pieces[strand->piece_count++] =
                (struct piece){along(from, way, start), along(from, way, stop)};
        start = i < count ? meetings[i].way + GAP : length;
    }
}

static void lay_out_strand(struct layout *layout, struct arena *arena, int number,
                           struct track_line *line) {
    const struct pattern *pattern = layout->pattern;
    const struct frame *frame = pattern->frame;
    struct strand_layout *strand = &layout->strands[number];
    strand->end = pattern->end_of[number];
    strand->pass = pattern->pass_of[number];
    const struct pass *pass = &pattern->ends[strand->end].passes.at[strand->pass];
    struct point from = frame->holes[pass->enter].at, to = frame->holes[pass->leave].at;
    double length = frame->strands[number].length;
    struct point way = {(to.x - from.x) / length, (to.y - from.y) / length};
    int count;
    struct meeting *meetings = find_meetings(layout, arena, number, from, &count);
    cut_pieces(strand, arena, from, way, length, meetings, count);
    strand->arrow_tip = along(to, way, -1);
    strand->arrow_way = way;
    struct room *rooms = arena_many(arena, struct room, count + 1);
    double beside = 1.0; /* kept clear beside a crossing */
    for (int i = 0; i <= count; i++) {
        rooms[i].from = i == 0 ? 1.5 : meetings[i - 1].way + beside;
        rooms[i].to = i == count ? length - 1.5 - ARROW : meetings[i].way - beside;
    }
    *line = (struct track_line){from,  way,       length,
                                rooms, count + 1, frame->strands[number].kind == MAIN};
}

/* Names near both ends first, then the numbers near the middle. */
static void lay_out_labels(struct layout *layout, struct arena *arena,
                           const struct track_line *lines) {
    const struct frame *frame = layout->pattern->frame;
    struct boxes boxes = {{0}};
    double type = NAME_SIZE * layout->unit;
    for (int i = 0; i < frame->strand_count; i++) {
        double width = label_width(layout, NAME_SIZE, frame->strands[i].number > 9 ? 3 : 2) + 0.6;
        for (int k = 0; k < 2; k++)
            layout->strands[i].name_at[k] = place_label(
                &boxes, arena, &lines[i], k == 0 ? 0 : lines[i].length, width, type * 1.1);
    }
    for (int i = 0; i < frame->strand_count; i++)
        layout->strands[i].number_at = place_label(
            &boxes, arena, &lines[i], lines[i].length / 2,
            label_width(layout, NAME_SIZE, layout->strands[i].pull > 9 ? 2 : 1) + type * 0.45,
            type * 1.25);
}

static void number_pulls(struct layout *layout) {
    int pull = 0;
    for (size_t i = 0; i < layout->pattern->moves.count; i++) {
        const struct move *move = &layout->pattern->moves.at[i];
        if (move->kind == MOVE_PULL) layout->strands[move->strand].pull = ++pull;
    }
}

/* ---- the page ---- */

/* The page has the shape of A4; it is as wide as the frame, its loops and numbers, title and legend
 * ask for. What they ask depends on the size of type, which depends on the page: a few rounds
 * settle it. */
static void lay_out_page(struct layout *layout, const int *over_holes) {
    const struct frame *frame = layout->pattern->frame;
    double legend = LEGEND_MARGIN + LEGEND_ROW * (layout->pattern->end_count + 1.3);
    layout->unit = 1.5;
    int highest = -1;
    for (int i = 0; i < frame->hole_count; i++)
        if (over_holes[i] > highest) highest = over_holes[i];
    for (int round = 0; round < 12; round++) {
        double margin =
            number_offset(layout, highest, (struct point){1, 0}, 3) + 2.2 * layout->unit;
        double width = frame->outline.width + 2 * margin + 2 * SIDE_ROOM * layout->unit;
        double height = frame->outline.length + 2 * margin + (TITLE_ROOM + legend) * layout->unit;
        layout->width = fmax(width, height / A4_RATIO);
        layout->height = layout->width * A4_RATIO;
        layout->unit = layout->width / A4_WIDTH;
        layout->content_top = -margin;
        layout->content_bottom = frame->outline.length + margin;
        layout->content_right = frame->outline.width / 2 + margin;
    }
    layout->left = -layout->width / 2;
    double spare = layout->height - (layout->content_bottom - layout->content_top) -
                   (TITLE_ROOM + legend) * layout->unit;
    layout->top = layout->content_top - TITLE_ROOM * layout->unit - spare / 2;
}

struct layout *lay_out_drawing(const struct pattern *pattern, struct arena *arena) {
    const struct frame *frame = pattern->frame;
    struct layout *layout = arena_one(arena, struct layout);
    layout->pattern = pattern;
    int *tracks = find_tracks(pattern, arena);
    int *over_holes = tracks_over_holes(pattern, arena, tracks);
    lay_out_page(layout, over_holes);
    layout->inner = hoop_edge(frame, arena, 0);
    layout->outer = hoop_edge(frame, arena, frame->wall);
    layout->hole_middle = arena_many(arena, struct point, frame->hole_count + 1);
    layout->hole_outside = arena_many(arena, struct point, frame->hole_count + 1);
    layout->number_at = arena_many(arena, struct point, frame->hole_count + 1);
    for (int i = 0; i < frame->hole_count; i++) {
        const struct hole *hole = &frame->holes[i];
        layout->hole_middle[i] = along(hole->at, hole->outward, frame->wall / 2);
        layout->hole_outside[i] = along(hole->at, hole->outward, frame->wall);
        layout->number_at[i] =
            along(hole->at, hole->outward,
                  number_offset(layout, over_holes[i], hole->outward, hole->number > 9 ? 3 : 2));
    }
    lay_out_loops(layout, arena, tracks);
    layout->strands = arena_many(arena, struct strand_layout, frame->strand_count + 1);
    struct track_line *lines = arena_many(arena, struct track_line, frame->strand_count + 1);
    for (int i = 0; i < frame->strand_count; i++)
        lay_out_strand(layout, arena, i, &lines[i]);
    number_pulls(layout);
    lay_out_labels(layout, arena, lines);
    return layout;
}
