/* The strung bed as a whole, from the places of its holes. */
#include "frame/bed.h"

#include <math.h>

static bool is_used(const struct frame *frame, int hole) {
    return frame->holes[hole].strand_count > 0;
}

/* The used hole before this one round the hoop; the hole itself where there is no other. */
static int used_before(const struct frame *frame, int hole) {
    int at = hole;
    do
        at = at > 0 ? at - 1 : frame->hole_count - 1;
    while (at != hole && !is_used(frame, at));
    return at;
}

struct extent bed_extent(const struct frame *frame) {
    struct extent extent = {0};
    bool any = false;
    for (int i = 0; i < frame->hole_count; i++) {
        if (!is_used(frame, i)) continue;
        struct point at = frame->holes[i].at;
        if (!any) extent = (struct extent){at.x, at.x, at.y, at.y};
        any = true;
        extent.left = fmin(extent.left, at.x);
        extent.right = fmax(extent.right, at.x);
        extent.head = fmin(extent.head, at.y);
        extent.throat = fmax(extent.throat, at.y);
    }
    return extent;
}

double bed_area(const struct frame *frame) {
    double twice = 0;
    for (int i = 0; i < frame->hole_count; i++) {
        if (!is_used(frame, i)) continue;
        struct point from = frame->holes[used_before(frame, i)].at, to = frame->holes[i].at;
        twice += from.x * to.y - to.x * from.y;
    }
    return fabs(twice) / 2;
}

double bed_width_beyond(const struct frame *frame, double y) {
    double left = INFINITY, right = -INFINITY;
    for (int i = 0; i < frame->hole_count; i++) {
        if (!is_used(frame, i)) continue;
        struct point from = frame->holes[used_before(frame, i)].at, to = frame->holes[i].at;
        if (to.y > y) {
            left = fmin(left, to.x);
            right = fmax(right, to.x);
        }
        if ((from.y > y) == (to.y > y)) continue;
        double x = from.x + (y - from.y) / (to.y - from.y) * (to.x - from.x);
        left = fmin(left, x);
        right = fmax(right, x);
    }
    return right > left ? right - left : 0;
}

int longest_strand(const struct frame *frame) {
    int longest = NO_STRAND;
    for (int i = 0; i < frame->strand_count; i++)
        if (longest == NO_STRAND || frame->strands[i].length > frame->strands[longest].length)
            longest = i;
    return longest;
}

/* Where a strand passes the middle line: the x of a main at `middle`, the y of a cross at x = 0. */
static double place_on_middle(const struct frame *frame, int strand, double middle) {
    const int *holes = frame->strands[strand].holes;
    struct point a = frame->holes[holes[0]].at, b = frame->holes[holes[1]].at;
    if (frame->strands[strand].kind == MAIN)
        return a.x + (middle - a.y) / (b.y - a.y) * (b.x - a.x);
    return a.y - a.x / (b.x - a.x) * (b.y - a.y);
}

bool bed_thirds(const struct frame *frame, enum kind kind, double mean[3]) {
    struct extent extent = bed_extent(frame);
    double middle = (extent.head + extent.throat) / 2, sums[3] = {0};
    int counts[3] = {0};
    /* The frame keeps its strands in order: mains from the left, then crosses from the head. */
    int first = kind == MAIN ? 0 : frame->main_count;
    int last = kind == MAIN ? frame->main_count - 1 : frame->strand_count - 1;
    if (last - first < 6) return false;
    double from = place_on_middle(frame, first, middle), to = place_on_middle(frame, last, middle);
    double before = from;
    for (int i = first + 1; i <= last; i++) {
        double at = place_on_middle(frame, i, middle);
        double share = ((before + at) / 2 - from) / (to - from) * 3;
        int third = share < 1 ? 0 : share < 2 ? 1 : 2;
        sums[third] += at - before;
        counts[third]++;
        before = at;
    }
    for (int i = 0; i < 3; i++) {
        if (counts[i] < 2) return false;
        mean[i] = sums[i] / counts[i];
    }
    return true;
}
