/* The geometry of the drawing. */
#include "emit/layout.h"
#include "emit/sheet.h"
#include "emit/type.h"

#include <math.h>
#include <stdlib.h>

static const double A4_RATIO = 297.0 / 210.0;
/* mm on paper */
static const double LOOP_FIRST = 2.4, LOOP_STEP = 2.3; /* from the hoop's edge */
static const double NUMBER_ROOM = 7; /* from the outermost loop to beyond the numbers */
static const double TITLE = 6, LEAST_TITLE = 4, SUBTITLE = 4, LEAST_SUBTITLE = 3;
static const double LEADING = 1.3; /* of the size */
static const double GAP = 2.0;     /* mm of the racket beside a strand on top */

struct point along(struct point from, struct point way, double distance) {
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

struct point onwards(struct point outward) {
    return (struct point){-outward.y, outward.x};
}

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

struct curve hoop_edge(const struct frame *frame, struct arena *arena, double offset) {
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

/* Where a loop starts on the hoop, counted clockwise, and how far it goes. */
struct stretch {
    double start, length;
    int number;
};

/* Whether two loops run beside one another: their arcs share more than an end. */
static bool overlap(const struct frame *frame, const struct stretch *a, const struct stretch *b) {
    return way_round(frame, a->start, b->start) < a->length - 0.5 ||
           way_round(frame, b->start, a->start) < b->length - 0.5;
}

/* Of loops that differ by less, in mm, the first in the pattern is taken for the shorter. */
static const double SAME_LENGTH = 1e-3;

/* How far out each loop runs: on the first track where no shorter one beside it runs. */
static void find_tracks(struct layout *layout, struct arena *arena) {
    const struct pattern *pattern = layout->pattern;
    size_t count = pattern->loops.count;
    struct loop_layout *at = arena_many(arena, struct loop_layout, count + 1);
    struct stretch *order = arena_many(arena, struct stretch, count + 1); /* the shortest first */
    int numbers[3] = {0};
    for (size_t i = 0; i < count; i++) {
        const struct loop *loop = &pattern->loops.at[i];
        double start = pattern->frame->holes[loop->clockwise ? loop->from : loop->to].arc;
        size_t k = i;
        for (; k > 0 && order[k - 1].length > loop->length + SAME_LENGTH; k--)
            order[k] = order[k - 1];
        order[k] = (struct stretch){start, loop->length, (int)i};
        at[i].number = loop->kind == LOOP_FOLD ? 0 : ++numbers[loop->end];
    }
    for (size_t i = 0; i < count; i++) {
        int track = 0;
        for (size_t k = 0; k < i; k++)
            if (at[order[k].number].track >= track && overlap(pattern->frame, &order[k], &order[i]))
                track = at[order[k].number].track + 1;
        at[order[i].number].track = track;
    }
    layout->loops = at;
}

const char *loop_id(const struct layout *layout, struct arena *arena, int number) {
    const struct loop *loop = &layout->pattern->loops.at[number];
    if (loop->kind == LOOP_FOLD) return "loop-fold";
    return format(arena, "loop-%s-%d", end_word(layout->pattern->ends[loop->end].name),
                  layout->loops[number].number);
}

double track_offset(const struct layout *layout, int track) {
    return layout->pattern->frame->wall + (LOOP_FIRST + LOOP_STEP * track) * layout->unit;
}

/* Out of the first hole, along the hoop at `offset`, into the second: a bow where they are near. */
static struct curve loop_path(const struct layout *layout, struct arena *arena,
                              const struct loop *loop, const struct loop_layout *at) {
    const struct frame *frame = layout->pattern->frame;
    const struct hole *a = &frame->holes[loop->from], *b = &frame->holes[loop->to];
    struct point from = layout->passages[at->from].outside, to = layout->passages[at->to].outside;
    double offset = track_offset(layout, at->track);
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

static void lay_out_loops(struct layout *layout, struct arena *arena) {
    for (size_t i = 0; i < layout->pattern->loops.count; i++)
        layout->loops[i].path =
            loop_path(layout, arena, &layout->pattern->loops.at[i], &layout->loops[i]);
}

static void raise_to(int *highest, int track) {
    if (track > *highest) *highest = track;
}

static void find_highest_tracks(struct layout *layout, struct arena *arena) {
    const struct pattern *pattern = layout->pattern;
    int *highest = arena_many(arena, int, pattern->frame->hole_count + 1);
    for (int i = 0; i < pattern->frame->hole_count; i++)
        highest[i] = -1;
    for (size_t i = 0; i < pattern->loops.count; i++) {
        const struct loop *loop = &pattern->loops.at[i];
        int track = layout->loops[i].track;
        raise_to(&highest[loop->from], track);
        raise_to(&highest[loop->to], track);
        for (int k = 0; k < loop->pass_count; k++)
            raise_to(&highest[loop->passes[k]], track);
    }
    layout->highest_track = highest;
}

/* ---- strands ---- */

static int by_way(const void *left, const void *right) {
    const struct meeting *a = left, *b = right;
    return a->way < b->way ? -1 : a->way > b->way;
}

/* Where the lines of two strands meet, as drawn. */
static struct point meeting_point(const struct layout *layout, int main, int cross) {
    const struct passage *m = &layout->passages[passage_of_strand(main, 0)],
                         *c = &layout->passages[passage_of_strand(cross, 0)];
    struct point a = m[0].inside, p = c[0].inside;
    double ux = m[1].inside.x - a.x, uy = m[1].inside.y - a.y;
    double vx = c[1].inside.x - p.x, vy = c[1].inside.y - p.y;
    double turn = ux * vy - uy * vx;
    double t = turn == 0 ? 0.5 : ((p.x - a.x) * vy - (p.y - a.y) * vx) / turn;
    return (struct point){a.x + t * ux, a.y + t * uy};
}

static void add_meeting(struct layout *layout, int strand, int other, struct point at, bool under) {
    struct strand_layout *line = &layout->strands[strand];
    double way = hypot(at.x - line->from.x, at.y - line->from.y);
    line->meetings[line->meeting_count++] = (struct meeting){other, way, under};
}

/* Every crossing to both its strands, and there in the order their ends meet them. */
static void find_meetings(struct layout *layout, struct arena *arena) {
    const struct pattern *pattern = layout->pattern;
    const struct frame *frame = pattern->frame;
    for (int i = 0; i < frame->strand_count; i++) {
        int most = frame->strands[i].kind == MAIN ? frame->cross_count : frame->main_count;
        layout->strands[i].meetings = arena_many(arena, struct meeting, most + 1);
    }
    for (size_t i = 0; i < pattern->crossings.count; i++) {
        const struct crossing *crossing = &pattern->crossings.at[i];
        struct point at = meeting_point(layout, crossing->main, crossing->cross);
        add_meeting(layout, crossing->main, crossing->cross, at, !crossing->main_over);
        add_meeting(layout, crossing->cross, crossing->main, at, crossing->main_over);
    }
    for (int i = 0; i < frame->strand_count; i++)
        qsort(layout->strands[i].meetings, (size_t)layout->strands[i].meeting_count,
              sizeof(struct meeting), by_way);
}

/* The pieces of a strand between the strands that lie on top of it: those it goes under, or seen
 * from the back the others. Gives back how many. */
static int cut_pieces(const struct strand_layout *strand, bool back, struct piece *pieces) {
    const struct meeting *meetings = strand->meetings;
    int count = strand->meeting_count, found = 0;
    double start = 0;
    for (int i = 0; i <= count; i++) {
        if (i < count && meetings[i].under == back) continue;
        double stop = i < count ? meetings[i].way - GAP : strand->length;
        if (stop > start)
            pieces[found++] = (struct piece){along(strand->from, strand->way, start),
                                             along(strand->from, strand->way, stop)};
        start = i < count ? meetings[i].way + GAP : strand->length;
    }
    return found;
}

void lay_out_back(struct layout *layout, struct arena *arena) {
    for (int i = 0; i < layout->pattern->frame->strand_count; i++) {
        struct strand_layout *strand = &layout->strands[i];
        strand->back_pieces = arena_many(arena, struct piece, strand->meeting_count + 1);
        strand->back_piece_count = cut_pieces(strand, true, strand->back_pieces);
    }
}

static void lay_out_strands(struct layout *layout, struct arena *arena) {
    const struct pattern *pattern = layout->pattern;
    int count = pattern->frame->strand_count;
    layout->strands = arena_many(arena, struct strand_layout, count + 1);
    for (int i = 0; i < count; i++) {
        struct strand_layout *strand = &layout->strands[i];
        strand->end = pattern->end_of[i];
        strand->pass = pattern->pass_of[i];
        struct point from = layout->passages[passage_of_strand(i, 0)].inside,
                     to = layout->passages[passage_of_strand(i, 1)].inside;
        strand->from = from;
        strand->length = hypot(to.x - from.x, to.y - from.y);
        strand->way =
            (struct point){(to.x - from.x) / strand->length, (to.y - from.y) / strand->length};
        strand->arrow_tip = along(to, strand->way, -1);
    }
    find_meetings(layout, arena);
    for (int i = 0; i < count; i++) {
        struct strand_layout *strand = &layout->strands[i];
        strand->pieces = arena_many(arena, struct piece, strand->meeting_count + 1);
        strand->piece_count = cut_pieces(strand, false, strand->pieces);
    }
}

static void number_pulls(struct layout *layout) {
    int pull = 0;
    for (size_t i = 0; i < layout->pattern->moves.count; i++) {
        const struct move *move = &layout->pattern->moves.at[i];
        if (move->kind == MOVE_PULL) layout->strands[move->strand].pull = ++pull;
    }
}

/* ---- the page ---- */

/* Lines of the title block: shrunk to `least` where they would leave the page, then broken. Gives
 * back the size; `*foot` is the foot of the last line. */
static double add_heading(struct layout *layout, struct arena *arena, const char *class_name,
                          const char *text, double size, double least, double *foot) {
    double room = A4_WIDTH - 2 * PAGE_MARGIN, wide = text_width(text, size);
    if (wide > room) size = fmax(size * room / wide, least);
    struct text_lines broken = break_text(arena, text, size, room);
    for (size_t i = 0; i < broken.lines.count; i++) {
        *foot += i == 0 ? 0 : size * LEADING;
        *array_add(arena, &layout->heading) =
            (struct heading_line){class_name, broken.lines.at[i], {PAGE_MARGIN, *foot}};
    }
    return size;
}

static double lay_out_heading(struct layout *layout, struct arena *arena) {
    const struct pattern *pattern = layout->pattern;
    double foot = 12;
    layout->title_size =
        add_heading(layout, arena, "title", frame_title(pattern->frame), TITLE, LEAST_TITLE, &foot);
    foot += 6;
    layout->subtitle_size = add_heading(layout, arena, "subtitle", pattern_title(pattern), SUBTITLE,
                                        LEAST_SUBTITLE, &foot);
    foot += 5;
    add_heading(layout, arena, "small", sheet_shorthand(pattern, arena), LEGEND_SIZE, LEGEND_SIZE,
                &foot);
    return foot + HEAD_ROOM;
}

/* The legend: a row for each end and the scale, beside four rows of signs; above it room for the
 * shaft. */
static double legend_room(const struct layout *layout) {
    double rows = fmax(layout->pattern->end_count + 0.3, 3);
    return LEGEND_MARGIN + LEGEND_ROW * (rows + 1.5);
}

/* The page has the shape of A4; it is as wide as the frame, its loops and numbers, title and legend
 * ask for. What they ask depends on the size of type, which depends on the page: a few rounds
 * settle it. `heading` and `reach` in mm on paper: the room for the title, and how far numbers
 * stand out from the hoop. */
static void lay_out_page(struct layout *layout, double heading, double reach) {
    const struct frame *frame = layout->pattern->frame;
    double besides = heading + legend_room(layout);
    layout->unit = 1.5;
    for (int round = 0; round < 12; round++) {
        double margin = frame->wall + reach * layout->unit;
        double width = frame->outline.width + 2 * margin + 2 * SIDE_ROOM * layout->unit;
        double height = frame->outline.length + 2 * margin + besides * layout->unit;
        layout->width = fmax(width, height / A4_RATIO);
        layout->height = layout->width * A4_RATIO;
        layout->unit = layout->width / A4_WIDTH;
        layout->content_top = -margin;
        layout->content_bottom = frame->outline.length + margin;
        layout->content_right = frame->outline.width / 2 + margin;
    }
    layout->left = -layout->width / 2;
    double spare =
        layout->height - (layout->content_bottom - layout->content_top) - besides * layout->unit;
    layout->top = layout->content_top - heading * layout->unit - spare / 2;
}

/* How far the numbers of holes reach beyond the place kept for them. */
static double overshoot(const struct layout *layout) {
    double most = 0;
    for (int i = 0; i < layout->pattern->frame->hole_count; i++) {
        struct box box = layout->numbers[i];
        double right = fabs(box.centre.x) + box.width / 2, top = box.centre.y - box.height / 2,
               bottom = box.centre.y + box.height / 2;
        most = fmax(most, fmax(right - layout->content_right,
                               fmax(layout->content_top - top, bottom - layout->content_bottom)));
    }
    return most;
}

/* Everything whose place depends on the size of type. */
static void lay_out_outside(struct layout *layout, struct arena *arena) {
    lay_out_loops(layout, arena);
    place_hole_numbers(layout);
}

/* What does not depend on the size of type; gives back the highest track, -1 for none. */
static int lay_out_hoop(struct layout *layout, const struct pattern *pattern, struct arena *arena) {
    const struct frame *frame = pattern->frame;
    layout->pattern = pattern;
    layout->inner = hoop_edge(frame, arena, 0);
    layout->outer = hoop_edge(frame, arena, frame->wall);
    layout->hole_middle = arena_many(arena, struct point, frame->hole_count + 1);
    layout->numbers = arena_many(arena, struct box, frame->hole_count + 1);
    for (int i = 0; i < frame->hole_count; i++)
        layout->hole_middle[i] =
            along(frame->holes[i].at, frame->holes[i].outward, frame->wall / 2);
    find_tracks(layout, arena);
    find_highest_tracks(layout, arena);
    scale_holes(layout, arena);
    lay_out_passages(layout, arena);
    int highest = -1;
    for (int i = 0; i < frame->hole_count; i++)
        raise_to(&highest, layout->highest_track[i]);
    return highest;
}

static void lay_out_bed(struct layout *layout, struct arena *arena) {
    lay_out_strands(layout, arena);
    fit_shaft(layout);
    number_pulls(layout);
    place_strand_labels(layout, arena);
}

struct layout *lay_out_drawing(const struct pattern *pattern, struct arena *arena) {
    struct layout *layout = arena_one(arena, struct layout);
    layout->counts = true;
    layout->names = 2;
    int highest = lay_out_hoop(layout, pattern, arena);
    double heading = lay_out_heading(layout, arena);
    double reach = LOOP_FIRST + LOOP_STEP * highest + NUMBER_ROOM;
    for (int round = 0; round < 4; round++) {
        lay_out_page(layout, heading, reach);
        lay_out_outside(layout, arena);
        double beyond = overshoot(layout);
        if (beyond <= 0) break;
        reach += beyond / layout->unit + 0.2;
    }
    lay_out_bed(layout, arena);
    return layout;
}

/* How far the numbers reach out, and a little: what a figure among others takes, and no more. */
static double least_margin(const struct layout *layout) {
    const double spare = 0.6; /* mm on paper */
    const struct frame *frame = layout->pattern->frame;
    double most = frame->wall;
    for (int i = 0; i < frame->hole_count; i++) {
        struct box box = layout->numbers[i];
        double right = fabs(box.centre.x) + box.width / 2 - frame->outline.width / 2,
               top = box.height / 2 - box.centre.y,
               bottom = box.centre.y + box.height / 2 - frame->outline.length;
        most = fmax(most, fmax(right, fmax(top, bottom)));
    }
    return most + spare * layout->unit;
}

struct layout *lay_out_bare(const struct pattern *pattern, struct arena *arena, double unit,
                            bool counts, int names) {
    const struct frame *frame = pattern->frame;
    struct layout *layout = arena_one(arena, struct layout);
    layout->unit = unit;
    layout->counts = counts;
    layout->names = names;
    lay_out_hoop(layout, pattern, arena);
    lay_out_outside(layout, arena);
    double margin = least_margin(layout);
    layout->content_top = -margin;
    layout->content_bottom = frame->outline.length + margin;
    layout->content_right = frame->outline.width / 2 + margin;
    lay_out_bed(layout, arena);
    return layout;
}
