/* From the places that matter round the hoop to the nodes of a ring. */
#include "mechanics/hoop.h"

#include <math.h>
#include <stdlib.h>

/* A place that has to be a node. */
struct place_at {
    double arc;
    int *node; /* where its number goes */
};

struct layout {
    const struct outline *outline;
    struct arena *arena;
    double whole; /* once round */
    array_of(struct place_at) places;
};

static void need_node(struct layout *layout, double arc, int *node) {
    double round = fmod(arc, layout->whole);
    *array_add(layout->arena, &layout->places) =
        (struct place_at){round < 0 ? round + layout->whole : round, node};
}

static int by_arc(const void *left, const void *right) {
    const struct place_at *a = left, *b = right;
    return (a->arc > b->arc) - (a->arc < b->arc);
}

/* A point of the whole hoop: the left half mirrors the right one. */
static struct point hoop_at(const struct outline *outline, double arc, struct point *outward) {
    bool left = arc > outline->half_arc;
    struct point at = outline_at(outline, left ? 2 * outline->half_arc - arc : arc, outward);
    if (!left) return at;
    at.x = -at.x;
    if (outward != NULL) outward->x = -outward->x;
    return at;
}

/* The widest place of the right half, by golden section between the widest of many places and its
 * neighbours. */
static double widest_arc(const struct outline *outline) {
    enum { PLACES = 200, CUTS = 80 };
    int widest = 0;
    double step = outline->half_arc / PLACES, width = 0;
    for (int i = 1; i < PLACES; i++) {
        double x = outline_at(outline, i * step, NULL).x;
        if (x <= width) continue;
        width = x;
        widest = i;
    }
    double low = (widest - 1) * step, high = (widest + 1) * step;
    for (int i = 0; i < CUTS; i++) {
        double a = high - (high - low) * 0.618033988749895;
        double b = low + (high - low) * 0.618033988749895;
        if (outline_at(outline, a, NULL).x < outline_at(outline, b, NULL).x)
            low = a;
        else
            high = b;
    }
    return (low + high) / 2;
}

/* Places from `first` that lie so near to one another that they are one node; the first may reach
 * back over the head's centre line. */
static size_t end_of_cluster(const struct layout *layout, size_t first) {
    size_t end = first + 1;
    while (end < layout->places.count &&
           layout->places.at[end].arc - layout->places.at[end - 1].arc < SAME_NODE_MM)
        end++;
    return end;
}

/* Turns the places before the head's centre line that belong to it or to those just after it so
 * that they stand at the front, with negative arcs. */
static void join_over_head(struct layout *layout) {
    struct place_at *at = layout->places.at;
    size_t count = layout->places.count, from = count;
    double next = at[0].arc + layout->whole;
    while (from > 1 && next - at[from - 1].arc < SAME_NODE_MM)
        next = at[--from].arc;
    for (size_t i = from; i < count; i++)
        at[i].arc -= layout->whole;
    qsort(at, count, sizeof *at, by_arc);
}

struct ring {
    array_of(double) arcs;
};

static void add_between(struct layout *layout, struct ring *ring, double from, double to,
                        double longest) {
    int parts = (int)ceil((to - from) / longest - 1e-9);
    for (int i = 1; i < parts; i++)
        *array_add(layout->arena, &ring->arcs) = from + (to - from) * i / parts;
}

/* The nodes, in order; tells every place which one it is. */
static struct ring lay_nodes(struct layout *layout, double longest) {
    qsort(layout->places.at, layout->places.count, sizeof *layout->places.at, by_arc);
    join_over_head(layout);
    struct ring ring = {0};
    double first = 0, before = 0;
    for (size_t i = 0, end; i < layout->places.count; i = end) {
        end = end_of_cluster(layout, i);
        double arc = (layout->places.at[i].arc + layout->places.at[end - 1].arc) / 2;
        if (i == 0)
            first = arc;
        else
            add_between(layout, &ring, before, arc, longest);
        for (size_t k = i; k < end; k++)
            *layout->places.at[k].node = (int)ring.arcs.count;
        *array_add(layout->arena, &ring.arcs) = arc;
        before = arc;
    }
    add_between(layout, &ring, before, first + layout->whole, longest);
    return ring;
}

static double around(double arc, double whole) {
    return arc < 0 ? arc + whole : arc >= whole ? arc - whole : arc;
}

static struct hoop_line line_between(const struct hoop *hoop, int from, int to) {
    struct point a = hoop->nodes[from], b = hoop->nodes[to];
    double length = hypot(b.x - a.x, b.y - a.y);
    if (from == to) return (struct hoop_line){{from, to}, SAME_NODE_MM, {0, 0}};
    return (struct hoop_line){{from, to}, length, {(b.x - a.x) / length, (b.y - a.y) / length}};
}

static void mark_throat(struct hoop *hoop) {
    const struct frame *frame = hoop->frame;
    int last = NO_STRAND;
    for (int i = 0; i < frame->strand_count; i++)
        if (frame->strands[i].kind == CROSS) last = i;
    if (last == NO_STRAND) return;
    int a = hoop->lines[last].nodes[0], b = hoop->lines[last].nodes[1];
    int from = a < b ? a : b, to = a < b ? b : a;
    for (int i = from; i < to; i++)
        hoop->throat[i] = true;
}

static void list_bearings(struct hoop *hoop, struct layout *layout, const struct supports *mounts,
                          int mount_count) {
    int most = 0;
    for (int i = 0; i < mount_count; i++)
        most += mounts[i].count;
    hoop->bearings = arena_many(layout->arena, struct bearing, most + 1);
    for (int i = 0; i < mount_count; i++)
        for (int k = 0; k < mounts[i].count; k++) {
            const struct support *support = &mounts[i].at[k];
            if (hoop_bearing(hoop, support) >= 0) continue;
            struct bearing *bearing = &hoop->bearings[hoop->bearing_count++];
            *bearing = (struct bearing){.clock = support->clock, .side = support->side};
            double arc = arc_at_clock(layout->outline, support->clock);
            hoop_at(layout->outline, arc, &bearing->push);
            if (support->side == SUPPORT_OUTSIDE)
                bearing->push = (struct point){-bearing->push.x, -bearing->push.y};
            need_node(layout, arc, &bearing->node);
        }
}

static void place_nodes(struct hoop *hoop, const struct layout *layout, const struct ring *ring) {
    hoop->node_count = (int)ring->arcs.count;
    hoop->arcs = ring->arcs.at;
    hoop->nodes = arena_many(layout->arena, struct point, hoop->node_count);
    hoop->throat = arena_many(layout->arena, bool, hoop->node_count);
    for (int i = 0; i < hoop->node_count; i++) {
        hoop->nodes[i] = hoop_at(layout->outline, around(hoop->arcs[i], layout->whole), NULL);
        hoop->middle.x += hoop->nodes[i].x / hoop->node_count;
        hoop->middle.y += hoop->nodes[i].y / hoop->node_count;
    }
}

const struct hoop *hoop_of(const struct frame *frame, const struct supports *mounts,
                           int mount_count, double longest_element, struct arena *arena) {
    struct layout layout = {&frame->outline, arena, 2 * frame->outline.half_arc, {0}};
    struct hoop *hoop = arena_one(arena, struct hoop);
    hoop->frame = frame;
    hoop->hole_nodes = arena_many(arena, int, frame->hole_count + 1);
    for (int i = 0; i < frame->hole_count; i++)
        need_node(&layout, frame->holes[i].arc, &hoop->hole_nodes[i]);
    int right, left, head, throat;
    double widest = widest_arc(&frame->outline);
    need_node(&layout, widest, &right);
    need_node(&layout, layout.whole - widest, &left);
    need_node(&layout, 0, &head);
    need_node(&layout, layout.whole / 2, &throat);
    list_bearings(hoop, &layout, mounts, mount_count);
    struct ring ring = lay_nodes(&layout, longest_element);
    place_nodes(hoop, &layout, &ring);
    hoop->strand_count = frame->strand_count;
    hoop->line_count = frame->strand_count + GAUGES;
    hoop->lines = arena_many(arena, struct hoop_line, hoop->line_count);
    for (int i = 0; i < frame->strand_count; i++)
        hoop->lines[i] = line_between(hoop, hoop->hole_nodes[frame->strands[i].holes[0]],
                                      hoop->hole_nodes[frame->strands[i].holes[1]]);
    hoop->lines[frame->strand_count + GAUGE_WIDTH] = line_between(hoop, left, right);
    hoop->lines[frame->strand_count + GAUGE_LENGTH] = line_between(hoop, head, throat);
    hoop->head = head;
    hoop->throat_middle = throat;
    mark_throat(hoop);
    return hoop;
}

int hoop_bearing(const struct hoop *hoop, const struct support *support) {
    for (int i = 0; i < hoop->bearing_count; i++)
        if (hoop->bearings[i].clock == support->clock && hoop->bearings[i].side == support->side)
            return i;
    return -1;
}
