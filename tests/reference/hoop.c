/* A job on a hoop that stands in no pattern, for a reference program to judge. Reads numbers:
 * inside width and length, exponent and taper of the oval; E I, E A and the throat's factor; the
 * longest element; E A of the strings; then as many as it says of holes (arc), strands (1 for a
 * cross, two holes), supports (clock, 1 for outside, N/mm) and events (1 for a draw-back, strand,
 * amount). Writes the places of the holes, a line each; the tensions and then the supports' forces
 * after every event; and the tensions off the machine. */
#include "ground/limits.h"
#include "mechanics/job.h"

#include <stdio.h>
#include <stdlib.h>

static double number(void) {
    double value;
    if (scanf("%lf", &value) != 1) exit(2);
    return value;
}

static int count(void) {
    double value = number();
    if (!(value >= 0 && value <= 1000)) exit(2);
    return (int)value;
}

static struct frame *read_frame(struct arena *arena) {
    struct frame *frame = arena_one(arena, struct frame);
    frame->outline.kind = OVAL;
    frame->outline.width = number();
    frame->outline.length = number();
    frame->outline.exponent = number();
    frame->outline.taper = number();
    outline_measure(&frame->outline, arena);
    return frame;
}

static void read_strands(struct frame *frame, struct arena *arena) {
    double half = frame->outline.half_arc;
    frame->hole_count = count();
    frame->holes = arena_many(arena, struct hole, frame->hole_count + 1);
    for (int i = 0; i < frame->hole_count; i++) {
        struct hole *hole = &frame->holes[i];
        hole->arc = number();
        bool left = hole->arc > half;
        hole->at = outline_at(&frame->outline, left ? 2 * half - hole->arc : hole->arc, NULL);
        if (left) hole->at.x = -hole->at.x;
        printf("%.9f %.9f\n", hole->at.x, hole->at.y);
    }
    frame->strand_count = count();
    frame->strands = arena_many(arena, struct strand, frame->strand_count + 1);
    for (int i = 0; i < frame->strand_count; i++) {
        struct strand *strand = &frame->strands[i];
        strand->kind = count() == 1 ? CROSS : MAIN;
        for (int k = 0; k < 2; k++) {
            strand->holes[k] = count();
            if (strand->holes[k] >= frame->hole_count) exit(2);
        }
    }
}

static struct supports read_mount(struct arena *arena) {
    int supports = count();
    struct support *at = arena_many(arena, struct support, supports + 1);
    for (int i = 0; i < supports; i++) {
        at[i].clock = number();
        at[i].side = count() == 1 ? SUPPORT_OUTSIDE : SUPPORT_INSIDE;
        at[i].stiffness = number();
    }
    return (struct supports){at, supports};
}

static struct job read_job(const struct frame *frame, struct arena *arena) {
    int events = count();
    struct event *at = arena_many(arena, struct event, events + 1);
    for (int i = 0; i < events; i++) {
        enum event_kind kind = count() == 1 ? EVENT_DRAW_BACK : EVENT_PULL;
        int strand = count();
        if (strand >= frame->strand_count) exit(2);
        at[i] = (struct event){kind, strand, number(), NO_MOVE};
    }
    return (struct job){at, events};
}

static void print_row(const double *values, int values_count) {
    for (int i = 0; i < values_count; i++)
        printf("%.9f%c", values[i], i + 1 < values_count ? ' ' : '\n');
}

int main(void) {
    struct arena *arena = arena_new(NULL, LIMIT_MEMORY);
    jmp_buf escape;
    struct algebra algebra;
    if (arena == NULL || setjmp(escape) != 0 || !algebra_load(&algebra)) return 3;
    arena_set_escape(arena, &escape);
    struct frame *frame = read_frame(arena);
    struct hoop_stiffness stiffness;
    stiffness.bending = number();
    stiffness.axial = number();
    stiffness.throat = number();
    double longest = number(), string = number();
    read_strands(frame, arena);
    double *axial = arena_many(arena, double, frame->strand_count + 1);
    for (int i = 0; i < frame->strand_count; i++)
        axial[i] = string;
    struct supports mount = read_mount(arena);
    struct job job = read_job(frame, arena);
    const struct hoop *hoop = hoop_of(frame, &mount, 1, longest, arena);
    const struct compliance *compliance =
        compliance_of(hoop, stiffness, COMPLIANCE_MOMENTS, &algebra, arena);
    if (compliance == NULL) return 4;
    struct machine machine = {compliance, axial, mount, &algebra};
    const struct outcome *outcome = do_job(&machine, job, REPORT_ALL, arena);
    for (int i = 0; i < job.count; i++) {
        print_row(outcome->after[i].tensions, frame->strand_count);
        print_row(outcome->after[i].forces, mount.count);
    }
    print_row(outcome->off_machine.tensions, frame->strand_count);
    bool sound = outcome->sound;
    arena_free(arena);
    return sound ? 0 : 5;
}
