/* The work of a job, counted from its moves, and the time it takes at the pace of its bench. */
#include "pattern/stages.h"

static enum pace kind_of(const struct move *move) {
    switch (move->kind) {
    case MOVE_THREAD: return PACE_THREAD;
    case MOVE_WEAVE: return PACE_WEAVE;
    case MOVE_CLAMP:
    case MOVE_RELEASE: return PACE_CLAMP;
    case MOVE_TIE: return PACE_TIE;
    default: return PACE_PULL;
    }
}

void count_work(struct pattern *pattern) {
    struct work *work = &pattern->work;
    *work = (struct work){.count[PACE_MOUNT] = 1};
    int last = NO_END;
    for (size_t i = 0; i < pattern->moves.count; i++) {
        const struct move *move = &pattern->moves.at[i];
        enum pace kind = kind_of(move);
        work->count[kind]++;
        if (kind == PACE_CLAMP) continue; /* one end may be clamped while another is at work */
        work->count[PACE_CHANGE] += last != NO_END && last != move->end;
        last = move->end;
    }
    for (int kind = 0; kind < PACES; kind++)
        work->time += work->count[kind] * pattern->bench->pace[kind];
}
