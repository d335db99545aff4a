/* String to cut: every end term by term, and what it comes to for each piece. Lengths in mm. */
#include "pattern/stages.h"

#include "ground/units.h"

#include <math.h>
#include <string.h>

static const double PI = 3.14159265358979323846;

double assumed_gauge(const struct frame *frame) {
    return frame->sport != NULL && strcmp(frame->sport, "badminton") == 0 ? 0.7 : 1.2;
}

const struct string *string_of_end(const struct pattern *pattern, int end) {
    return pattern->ends[end].name == END_CROSS ? pattern->crosses_string : pattern->mains_string;
}

static double gauge_of(const struct pattern *pattern, enum kind kind) {
    const struct string *string = kind == CROSS ? pattern->crosses_string : pattern->mains_string;
    return string != NULL && string->gauge > 0 ? string->gauge : assumed_gauge(pattern->frame);
}

/* How much longer a strand is for going over and under. At a crossing the two strings lie one on
 * the other, half the sum of their gauges apart from middle to middle; both give way alike, so each
 * leaves the plane of the bed by a quarter of that sum. From crossing to crossing it goes from one
 * side to the other: half a wave of a sine of this amplitude a over half a wave p, which is longer
 * than p by about (pi a / 2 p)^2 of it (series of the complete elliptic integral, first term). The
 * shape is that of plain weave with equal crimp. */
static double crimp_of(const struct pattern *pattern, int strand, int crossings) {
    double length = pattern->frame->strands[strand].length;
    if (crossings == 0) return 0;
    double amplitude = (gauge_of(pattern, MAIN) + gauge_of(pattern, CROSS)) / 4;
    double slope = PI * amplitude / (2 * length / crossings);
    return length * slope * slope;
}

/* The part of its length by which a string is longer at this pull than it was cut: by what it
 * stretches, of which pre-stretching has taken some; at rest by what pre-stretching has left. */
static double strain_at(const struct pattern *pattern, const struct string *string, double pull) {
    double before = pattern->prestretch / 100;
    if (string == NULL || string->stretch_at <= 0) return before;
    return fmax(before, string->stretch / 100 * pull / string->stretch_at);
}

static double unstretched(double length, double strain) { return length - length / (1 + strain); }

static struct cut cut_of(const struct pattern *pattern, const int *crossings, int e) {
    const struct end *end = &pattern->ends[e];
    const struct string *string = string_of_end(pattern, e);
    struct cut cut = {.tail = ASSUMED_TAIL, .reach = pattern->bench->reach};
    for (size_t i = 0; i < end->passes.count; i++) {
        int strand = end->passes.at[i].strand;
        double length = pattern->frame->strands[strand].length;
        double crimp = crimp_of(pattern, strand, crossings[strand]);
        double walls = 2 * pattern->frame->wall;
        cut.strands += length;
        cut.crimp += crimp;
        cut.walls += walls;
        cut.stretch += unstretched(length + crimp + walls,
                                   strain_at(pattern, string, pattern->tensions[strand].base));
    }
    for (size_t i = 0; i < pattern->loops.count; i++) {
        const struct loop *loop = &pattern->loops.at[i];
        bool shared = loop->kind == LOOP_FOLD && pattern->ends[loop->end].string == end->string;
        cut.loops += shared ? loop->outside / 2 : loop->end == e ? loop->outside : 0;
    }
    if (end->start.hole != NO_HOLE) cut.tail += ASSUMED_TAIL;
    /* Its tail is pulled again before the knot. */
    if (end->start_clamped) cut.reach += pattern->bench->reach;
    /* Not pulled on: pre-stretching alone has made these longer. */
    double before = pattern->prestretch / 100, beyond = cut.tail + cut.reach;
    cut.stretch += unstretched(cut.loops, before);
    cut.bed = cut.strands + cut.crimp + cut.walls + cut.loops - cut.stretch;
    cut.stretch += unstretched(beyond, before);
    cut.cut = cut.bed + beyond - unstretched(beyond, before);
    return cut;
}

static bool is_fold_mark(enum end_name name) { return name == END_SHORT || name == END_LEFT; }

static struct string_piece piece_of(const struct pattern *pattern, int number) {
    struct string_piece piece = {.string =
                                     number == 0 ? pattern->mains_string : pattern->crosses_string};
    double bed = 0;
    for (int e = 0; e < pattern->end_count; e++) {
        if (pattern->ends[e].string != number) continue;
        piece.cut += pattern->cuts[e].cut;
        bed += pattern->cuts[e].bed;
        if (is_fold_mark(pattern->ends[e].name)) piece.fold = pattern->cuts[e].cut;
    }
    piece.gauge = gauge_of(pattern, number == 0 ? MAIN : CROSS);
    piece.weight = PI / 4 * piece.gauge * piece.gauge * bed * density_of(piece.string) / 1000;
    return piece;
}

/* What a set leaves after the pieces that are cut from it, in their order. */
static void find_left(struct pattern *pattern) {
    for (int i = 0; i < pattern->string_count; i++) {
        struct string_piece *piece = &pattern->pieces[i];
        if (piece->string == NULL || piece->string->length <= 0) continue;
        piece->left = piece->string->length - piece->cut;
        for (int k = 0; k < i; k++)
            if (pattern->pieces[k].string == piece->string) piece->left -= pattern->pieces[k].cut;
    }
}

void measure_cuts(struct pattern *pattern, struct arena *arena) {
    int *crossings = arena_many(arena, int, pattern->frame->strand_count + 1); /* by strand */
    for (size_t i = 0; i < pattern->crossings.count; i++) {
        crossings[pattern->crossings.at[i].main]++;
        crossings[pattern->crossings.at[i].cross]++;
    }
    pattern->cuts = arena_many(arena, struct cut, pattern->end_count + 1);
    for (int e = 0; e < pattern->end_count; e++)
        pattern->cuts[e] = cut_of(pattern, crossings, e);
    for (int i = 0; i < pattern->string_count; i++)
        pattern->pieces[i] = piece_of(pattern, i);
    find_left(pattern);
}

/* ---- pulls, as a tensioner can be set ---- */

enum unit pull_unit(const struct pattern *pattern, int strand) {
    const struct bench *bench = pattern->bench;
    return bench->step > 0 ? bench->step_unit : pattern->tensions[strand].unit;
}

double tension_step(const struct pattern *pattern, enum unit unit) {
    const struct bench *bench = pattern->bench;
    if (bench->step > 0) return bench->step;
    return unit == UNIT_KG ? 0.1 * NEWTON_PER_KG : unit == UNIT_N ? 1 : 0.5 * NEWTON_PER_LB;
}

double conversion_slack(const struct pattern *pattern, int strand) {
    return pattern->tensions[strand].unit != pattern->frame->tension_unit ? 0.005 : 0;
}

static bool at_most(double newton, double most) { return newton <= most + 1e-6; }

/* Numbers that are meant to be the same differ by less than this, in steps of the tensioner. */
static const double SAME_STEP = 1e-6;

double step_up(double newton, double step) { return ceil(newton / step - SAME_STEP) * step; }
double step_nearest(double newton, double step) {
    return floor(newton / step + 0.5 + SAME_STEP) * step;
}

double step_down(double newton, double step) { return floor(newton / step + SAME_STEP) * step; }

/* A setting below the range, where the pull asked for is not: the next one up. */
static double keep_least(const struct pattern *pattern, int strand, double set, double step) {
    double asked = pattern->tensions[strand].pull, least = pattern->frame->least_tension;
    const double limits[] = {least, least * (1 - conversion_slack(pattern, strand))};
    for (size_t i = 0; i < sizeof limits / sizeof *limits; i++)
        if (at_most(limits[i], asked) && !at_most(limits[i], set)) return step_up(asked, step);
    return set;
}

/* A setting over a limit that the pull asked for keeps: the next one down. */
static double keep_most(const struct pattern *pattern, int strand, double set, double step) {
    double asked = pattern->tensions[strand].pull, most = pattern->frame->most_tension;
    double slack = 1 + conversion_slack(pattern, strand);
    double added = pulled_before_knot(pattern, strand) ? KNOT_ALLOWANCE : 1;
    const double limits[] = {most, most * slack, most * added, most * added * slack};
    for (size_t i = 0; i < sizeof limits / sizeof *limits; i++)
        if (at_most(asked, limits[i]) && !at_most(set, limits[i])) return step_down(asked, step);
    return set;
}

double set_pull(const struct pattern *pattern, int strand) {
    const struct pull_tension *tension = &pattern->tensions[strand];
    double step = tension_step(pattern, tension->unit);
    double set = step_nearest(tension->pull, step);
    if (pattern->frame->most_tension <= 0) return set;
    return keep_most(pattern, strand, keep_least(pattern, strand, set, step), step);
}
