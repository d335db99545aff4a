/* String to cut: a first estimate, term by term. */
#include "pattern/stages.h"

#include <string.h>

double assumed_gauge(const struct frame *frame) {
    return frame->sport != NULL && strcmp(frame->sport, "badminton") == 0 ? 0.7 : 1.2;
}

/* How much longer a strand is for going over and under: each crossing is half a wave of a sine
 * whose height from middle to crest is half a gauge, since both strands give way alike. A sine of
 * half-wave p and amplitude a is longer than its base by about (pi a / 2 p)^2 of it (series of the
 * elliptic integral, first term). */
static double crimp_of(double length, int crossings, double gauge) {
    if (crossings == 0) return 0;
    double half_wave = length / crossings;
    double slope = 3.14159265358979 * (gauge / 2) / (2 * half_wave);
    return length * slope * slope;
}

static const struct string *string_of(const struct pattern *pattern, const struct end *end) {
    return end->name == END_CROSS ? pattern->crosses_string : pattern->mains_string;
}

static struct cut cut_of(const struct pattern *pattern, const int *crossings, int e) {
    const struct frame *frame = pattern->frame;
    const struct end *end = &pattern->ends[e];
    const struct string *string = string_of(pattern, end);
    double gauge = string != NULL && string->gauge > 0 ? string->gauge : assumed_gauge(frame);
    struct cut cut = {.tail = ASSUMED_TAIL, .reach = pattern->bench->reach};
    double stretched = 0;
    for (size_t i = 0; i < end->passes.count; i++) {
        int strand = end->passes.at[i].strand;
        double length = frame->strands[strand].length,
               crimp = crimp_of(length, crossings[strand], gauge);
        cut.strands += length;
        cut.crimp += crimp;
        cut.walls += 2 * frame->wall;
        if (string == NULL || string->stretch_at <= 0) continue;
        double strain = string->stretch / 100 * pattern->tensions[strand].base / string->stretch_at;
        double taut = length + crimp + 2 * frame->wall;
        stretched += taut - taut / (1 + strain);
    }
    for (size_t i = 0; i < pattern->loops.count; i++) {
        const struct loop *loop = &pattern->loops.at[i];
        bool shared = loop->kind == LOOP_FOLD && pattern->ends[loop->end].string == end->string;
        if (shared)
            cut.loops += loop->length / 2;
        else if (loop->end == e)
            cut.loops += loop->length;
    }
    if (end->start.hole != NO_HOLE) cut.tail += ASSUMED_TAIL;
    /* Its tail is pulled again before the knot. */
    if (end->start_clamped) cut.reach += pattern->bench->reach;
    cut.stretch = stretched;
    cut.cut = cut.strands + cut.crimp + cut.walls + cut.loops + cut.tail + cut.reach - cut.stretch;
    return cut;
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
}
