/* Pulls with which one side of the mains is far ahead, and the same job with the sides in turn. */
#include "mechanics/leads.h"

/* The first pulls of the mains of the sides, in order. */
static int list_mains(const struct bed *bed, int *strands, struct arena *arena) {
    const struct frame *frame = bed->pattern->frame;
    bool *seen = arena_many(arena, bool, frame->strand_count + 1);
    int count = 0;
    for (int i = 0; i < bed->job.count; i++) {
        const struct event *event = &bed->job.events[i];
        bool first = event->kind == EVENT_PULL && !seen[event->strand];
        if (!first || !is_sided_main(&frame->strands[event->strand])) continue;
        seen[event->strand] = true;
        strands[count++] = event->strand;
    }
    return count;
}

static int nth_of_side(const struct frame *frame, const int *strands, int count, enum side side,
                       int nth) {
    for (int i = 0; i < count; i++)
        if (frame->strands[strands[i]].side == side && nth-- == 0) return strands[i];
    return NO_STRAND;
}

/* The same mains, those of a side in the same order, with neither side ahead by more than is worth
 * telling as long as the other has any. */
static void put_in_turn(const struct frame *frame, const int *strands, int count, int *in_turn) {
    int pulled[2] = {0, 0}; /* left, right */
    for (int i = 0; i < count; i++) {
        int side = frame->strands[strands[i]].side == SIDE_LEFT ? 0 : 1;
        bool far = pulled[side] + 1 - pulled[1 - side] > LEAD_WORTH_TELLING;
        int next[2];
        for (int s = 0; s < 2; s++)
            next[s] =
                nth_of_side(frame, strands, count, s == 0 ? SIDE_LEFT : SIDE_RIGHT, pulled[s]);
        if ((far && next[1 - side] != NO_STRAND) || next[side] == NO_STRAND) side = 1 - side;
        in_turn[i] = next[side];
        pulled[side]++;
    }
}

/* The job with other mains in the places of the first ones. */
static struct job job_in_turn(const struct bed *bed, const int *strands, const int *instead,
                              int count, struct arena *arena) {
    int all = bed->pattern->frame->strand_count;
    int *stands_in = arena_many(arena, int, all + 1);
    double *pulls = arena_many(arena, double, all + 1);
    for (int s = 0; s < all; s++)
        stands_in[s] = s;
    for (int i = 0; i < count; i++)
        stands_in[strands[i]] = instead[i];
    struct event *events = arena_many(arena, struct event, bed->job.count + 1);
    for (int i = 0; i < bed->job.count; i++)
        if (bed->job.events[i].kind == EVENT_PULL)
            pulls[bed->job.events[i].strand] = bed->job.events[i].amount;
    for (int i = 0; i < bed->job.count; i++) {
        events[i] = bed->job.events[i];
        events[i].strand = stands_in[events[i].strand];
        if (events[i].kind == EVENT_PULL) events[i].amount = pulls[events[i].strand];
    }
    return (struct job){events, bed->job.count};
}

/* Of pulls that follow one another far ahead only the farthest is kept. */
static void note_lead(struct bed *bed, bool in_run, int event, int lead, struct arena *arena) {
    struct far_ahead far = {.event = event, .lead = lead};
    if (!in_run)
        *array_add(arena, &bed->far_ahead) = far;
    else if (lead > bed->far_ahead.at[bed->far_ahead.count - 1].lead)
        bed->far_ahead.at[bed->far_ahead.count - 1] = far;
}

/* Notes the pulls that are far ahead, and makes the job in turn; false where there are none. */
bool look_for_leads(struct bed *bed, struct job *in_turn, struct arena *arena) {
    const struct frame *frame = bed->pattern->frame;
    int *strands = arena_many(arena, int, frame->strand_count + 1);
    int *instead = arena_many(arena, int, frame->strand_count + 1);
    int count = list_mains(bed, strands, arena), pulled[2] = {0, 0}, next = 0;
    bool in_run = false;
    for (int i = 0; i < bed->job.count && next < count; i++) {
        const struct event *event = &bed->job.events[i];
        if (event->kind != EVENT_PULL || event->strand != strands[next]) continue;
        next++;
        int side = frame->strands[event->strand].side == SIDE_LEFT ? 0 : 1;
        int lead = ++pulled[side] - pulled[1 - side];
        if (lead > LEAD_WORTH_TELLING) note_lead(bed, in_run, i, lead, arena);
        in_run = lead > LEAD_WORTH_TELLING;
    }
    if (bed->far_ahead.count == 0) return false;
    put_in_turn(frame, strands, count, instead);
    *in_turn = job_in_turn(bed, strands, instead, count, arena);
    return true;
}
