/* The lane assignment on bare rings with chords, for a reference library to judge.
 * Reads one case a line: the number of holes, the number of lanes, the number of guides and for
 * each a hole and 1 (front) or 2 (back), then the number of loops and for each its two holes.
 * Writes for each a line: the lanes of the loops (1 front, 2 back), or "no" and how many loops the
 * finding names. */
#include "pattern/stages.h"

#include "ground/limits.h"

#include <stdio.h>
#include <stdlib.h>

static int number(void) {
    int value;
    if (scanf("%d", &value) != 1) exit(2);
    return value;
}

static void one_case(int hole_count) {
    struct arena *arena = arena_new(NULL, LIMIT_MEMORY);
    jmp_buf escape;
    if (setjmp(escape) != 0) exit(3);
    arena_set_escape(arena, &escape);
    struct source_map sources = source_map_in(arena);
    struct report report = report_in(arena, &sources);
    struct frame *frame = arena_one(arena, struct frame);
    struct pattern *pattern = arena_one(arena, struct pattern);
    frame->hole_count = hole_count;
    frame->holes = arena_many(arena, struct hole, hole_count);
    frame->lanes = number();
    /* a ring of even steps: the loops' lengths and what they pass follow */
    frame->outline.half_arc = hole_count / 2.0;
    for (int i = 0; i < hole_count; i++) {
        frame->holes[i].arc = i;
        frame->holes[i].id = frame->holes[i].name = format(arena, "%d", i);
    }
    for (int guides = number(); guides > 0; guides--) {
        int hole = number();
        frame->holes[hole].guide = number() == 1 ? LANE_FRONT : LANE_BACK;
    }
    pattern->frame = frame;
    pattern->end_count = 1;
    for (int loops = number(); loops > 0; loops--) {
        struct loop *loop = array_add(arena, &pattern->loops);
        loop->kind = LOOP_BETWEEN;
        loop->from = number();
        loop->to = number();
    }
    assign_lanes(pattern, arena, &report);
    if (report.counts[SEVERITY_ERROR] > 0) {
        int named = 0;
        for (const struct note *note = report.findings.at[0]->notes; note != NULL;
             note = note->next)
            named++;
        printf("no %d", named);
    }
    for (size_t i = 0; i < pattern->loops.count && report.counts[SEVERITY_ERROR] == 0; i++)
        printf("%d ", (int)pattern->loops.at[i].lane);
    putchar('\n');
    arena_free(arena);
}

int main(void) {
    int hole_count;
    while (scanf("%d", &hole_count) == 1)
        one_case(hole_count);
    return 0;
}
