/* From moves to events. Knots and what is threaded change no tension; a clamp does where it is put
 * on the strand in the tensioner, not where it anchors a side before its first pull. */
#include "mechanics/events.h"

struct job job_of(const struct pattern *pattern, double draw_back, struct arena *arena) {
    array_of(struct event) events = {0};
    for (size_t i = 0; i < pattern->moves.count; i++) {
        const struct move *move = &pattern->moves.at[i];
        bool pull = move->kind == MOVE_PULL || move->kind == MOVE_REPULL;
        bool takes_over = move->kind == MOVE_CLAMP && !move->anchor && draw_back > 0;
        if (!pull && !takes_over) continue;
        *array_add(arena, &events) = (struct event){.kind = pull ? EVENT_PULL : EVENT_DRAW_BACK,
                                                    .strand = move->strand,
                                                    .amount = pull ? move->tension : draw_back,
                                                    .move = (int)i};
    }
    return (struct job){events.at, (int)events.count};
}
