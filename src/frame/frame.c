/* Look-ups and relations of the frame model. */
#include "frame/frame.h"

#include "ground/output.h"

#include <math.h>

int frame_hole(const struct frame *frame, enum side side, int number, enum place place) {
    if (number == 0) side = SIDE_CENTRE;
    for (int i = 0; i < frame->hole_count; i++) {
        const struct hole *hole = &frame->holes[i];
        if (hole->side == side && hole->number == number && hole->place == place) return i;
    }
    return NO_HOLE;
}

int frame_strand(const struct frame *frame, enum kind kind, enum side side, int number) {
    if (kind == CROSS || number == 0) side = SIDE_CENTRE;
    /* Strands are counted through from the left, then from the head; so there is where it lies. */
    bool first_left = frame->main_count > 0 && frame->strands[0].side == SIDE_LEFT;
    int left = first_left ? frame->strands[0].number : 0;
    bool centre = left < frame->main_count && frame->strands[left].number == 0;
    int guess = kind == CROSS         ? frame->main_count + number - 1
                : side == SIDE_LEFT   ? left - number
                : side == SIDE_CENTRE ? left
                                      : left + centre + number - 1;
    bool within = guess >= 0 && guess < frame->strand_count;
    const struct strand *there = within ? &frame->strands[guess] : NULL;
    if (within && there->kind == kind && there->side == side && there->number == number)
        return guess;
    for (int i = 0; i < frame->strand_count; i++) {
        const struct strand *strand = &frame->strands[i];
        if (strand->kind == kind && strand->side == side && strand->number == number) return i;
    }
    return NO_STRAND;
}

static bool same_row(const struct strand *a, const struct strand *b) {
    return a->kind == b->kind && a->side == b->side;
}

const char *strand_words(const struct frame *frame, struct arena *arena, const bool *wanted) {
    struct output out = output_to(arena);
    for (int i = 0; i < frame->strand_count; i++) {
        if (!wanted[i]) continue;
        const struct strand *low = &frame->strands[i], *high = low;
        int last = i;
        while (last + 1 < frame->strand_count && wanted[last + 1] &&
               same_row(low, &frame->strands[last + 1]))
            last++;
        if (frame->strands[last].number < low->number)
            low = &frame->strands[last];
        else
            high = &frame->strands[last];
        put_format(&out, "%s%s", out.length > 0 ? ", " : "", low->name);
        if (last > i) put_format(&out, " to %c%d", low->kind == MAIN ? 'M' : 'C', high->number);
        i = last;
    }
    return output_text(&out);
}

int hole_main(const struct frame *frame, int hole) {
    for (int i = 0; i < frame->holes[hole].strand_count; i++) {
        int strand = frame->holes[hole].strands[i];
        if (frame->strands[strand].kind == MAIN) return strand;
    }
    return NO_STRAND;
}

double hoop_distance(const struct frame *frame, int from, int to) {
    double perimeter = 2 * frame->outline.half_arc;
    double way = fabs(frame->holes[from].arc - frame->holes[to].arc);
    return way < perimeter - way ? way : perimeter - way;
}

bool goes_clockwise(const struct frame *frame, int from, int to) {
    double perimeter = 2 * frame->outline.half_arc;
    double way = frame->holes[to].arc - frame->holes[from].arc;
    return (way < 0) == (fabs(way) > perimeter - fabs(way));
}

static bool between(int low, int high, int hole) { return low < hole && hole < high; }

bool holes_alternate(int a, int b, int c, int d) {
    if (a == c || a == d || b == c || b == d || a == b || c == d) return false;
    int low = a < b ? a : b, high = a < b ? b : a;
    return between(low, high, c) != between(low, high, d);
}

bool strands_cross(const struct frame *frame, int main, int cross) {
    const int *m = frame->strands[main].holes, *c = frame->strands[cross].holes;
    return holes_alternate(m[0], m[1], c[0], c[1]);
}

struct point crossing_point(const struct frame *frame, int main, int cross) {
    const int *m = frame->strands[main].holes, *c = frame->strands[cross].holes;
    struct point a = frame->holes[m[0]].at, b = frame->holes[m[1]].at;
    struct point p = frame->holes[c[0]].at, q = frame->holes[c[1]].at;
    double ux = b.x - a.x, uy = b.y - a.y, vx = q.x - p.x, vy = q.y - p.y;
    double turn = ux * vy - uy * vx;
    double t = turn == 0 ? 0.5 : ((p.x - a.x) * vy - (p.y - a.y) * vx) / turn;
    return (struct point){a.x + t * ux, a.y + t * uy};
}
