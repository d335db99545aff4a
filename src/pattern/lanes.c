/* Lanes: two loops that interleave must lie in different lanes, and a guide fixes a lane. So lanes
 * are a colouring with two colours of a graph of loops; where there is none, the graph has an odd
 * cycle, and a shortest one is what cannot lie clear. The two lanes themselves stand in the graph
 * as two nodes that are joined: a loop guided to the front is joined to the back, and the reverse.
 */
#include "pattern/stages.h"

struct lane_graph {
    const struct pattern *pattern;
    int loops, nodes; /* nodes: the loops, then the front, then the back */
    bool *joined;     /* nodes x nodes */
    int *guide_of;    /* by loop: a guided hole it begins, ends or passes at; NO_HOLE */
};

static bool joined(const struct lane_graph *graph, int a, int b) {
    return graph->joined[a * graph->nodes + b];
}

static void join(struct lane_graph *graph, int a, int b) {
    graph->joined[a * graph->nodes + b] = graph->joined[b * graph->nodes + a] = true;
}

static bool interleave(const struct loop *a, const struct loop *b) {
    return holes_alternate(a->from, a->to, b->from, b->to);
}

/* A guided hole of the loop in the given lane, or NO_HOLE. */
static int guided_hole(const struct frame *frame, const struct loop *loop, enum lane lane) {
    if (frame->holes[loop->from].guide == lane) return loop->from;
    if (frame->holes[loop->to].guide == lane) return loop->to;
    for (int i = 0; i < loop->pass_count; i++)
        if (frame->holes[loop->passes[i]].guide == lane) return loop->passes[i];
    return NO_HOLE;
}

static struct lane_graph build_graph(const struct pattern *pattern, struct arena *arena) {
    int loops = (int)pattern->loops.count, nodes = loops + 2, front = loops, back = loops + 1;
    struct lane_graph graph = {pattern, loops, nodes, arena_many(arena, bool, nodes *nodes), NULL};
    for (int i = 0; i < loops; i++)
        for (int k = 0; k < i; k++)
            if (interleave(&pattern->loops.at[i], &pattern->loops.at[k])) join(&graph, i, k);
    join(&graph, front, back);
    for (int i = 0; i < loops; i++) {
        const struct loop *loop = &pattern->loops.at[i];
        if (guided_hole(pattern->frame, loop, LANE_FRONT) != NO_HOLE) join(&graph, i, back);
        if (guided_hole(pattern->frame, loop, LANE_BACK) != NO_HOLE) join(&graph, i, front);
    }
    return graph;
}

/* Colours everything reachable from `start`; false where two neighbours get one colour. The nodes
 * reached are left in `queue`. */
static bool colour_from(const struct lane_graph *graph, int start, enum lane colour,
                        enum lane *colours, int *queue, int *reached) {
    bool fits = true;
    int head = 0, count = 0;
    colours[start] = colour;
    queue[count++] = start;
    while (head < count) {
        int node = queue[head++];
        for (int other = 0; other < graph->nodes; other++) {
            if (!joined(graph, node, other)) continue;
            if (colours[other] == LANE_UNSAID) {
                colours[other] = colours[node] == LANE_FRONT ? LANE_BACK : LANE_FRONT;
                queue[count++] = other;
            } else if (colours[other] == colours[node]) {
                fits = false;
            }
        }
    }
    *reached = count;
    return fits;
}

/* The front is the usual lane: a part of the graph that no guide fixes has more loops there. */
static void prefer_front(enum lane *colours, const int *queue, int reached) {
    int front = 0;
    for (int i = 0; i < reached; i++)
        front += colours[queue[i]] == LANE_FRONT;
    if (2 * front >= reached) return;
    for (int i = 0; i < reached; i++)
        colours[queue[i]] = colours[queue[i]] == LANE_FRONT ? LANE_BACK : LANE_FRONT;
}

/* A shortest closed walk of odd length through `start`, by breadth first over (node, parity): its
 * nodes go to `cycle`, their number is returned; 0 where there is none shorter than `best`. */
static int odd_cycle_through(const struct lane_graph *graph, int *scratch, int start, int best,
                             int *cycle) {
    int states = 2 * graph->nodes;
    int *before = scratch, *queue = before + states, *depth = queue + states;
    depth[2 * start] = 0;
    for (int i = 0; i < states; i++)
        before[i] = -1;
    int head = 0, count = 0, goal = 2 * start + 1;
    queue[count++] = 2 * start;
    before[2 * start] = 2 * start;
    while (head < count && before[goal] < 0) {
        int state = queue[head++];
        if (depth[state] + 1 >= best) break;
        for (int other = 0; other < graph->nodes; other++) {
            int next = 2 * other + 1 - state % 2;
            if (!joined(graph, state / 2, other) || before[next] >= 0) continue;
            before[next] = state;
            depth[next] = depth[state] + 1;
            queue[count++] = next;
        }
    }
    if (before[goal] < 0) return 0;
    int length = 0;
    for (int state = goal; state != 2 * start; state = before[state])
        cycle[length++] = state / 2;
    return length;
}

static const char *loop_words(const struct pattern *pattern, struct arena *arena,
                              const struct loop *loop) {
    const struct frame *frame = pattern->frame;
    static const char *const kinds[] = {"the fold", "the start loop", "the loop",
                                        "the loop to the knot"};
    const char *end = loop->kind == LOOP_FOLD ? ""
                                              : format(arena, " of the %s end",
                                                       end_word(pattern->ends[loop->end].name));
    return format(arena, "%s%s from %s to %s", kinds[loop->kind], end,
                  frame->holes[loop->from].name, frame->holes[loop->to].name);
}

static void report_cycle(const struct lane_graph *graph, struct arena *arena,
                         struct report *report) {
    const struct pattern *pattern = graph->pattern;
    int *cycle = arena_many(arena, int, graph->nodes), *best = arena_many(arena, int, graph->nodes);
    int *scratch = arena_many(arena, int, 6 * graph->nodes);
    int length = graph->nodes + 1;
    for (int node = 0; node < graph->nodes; node++) {
        int found = odd_cycle_through(graph, scratch, node, length, cycle);
        if (found == 0) continue;
        length = found;
        for (int i = 0; i < found; i++)
            best[i] = cycle[i];
    }
    int loops = 0, last = 0;
    for (int i = 0; i < length; i++) {
        if (best[i] >= graph->loops) continue;
        loops++;
        if (best[i] > last) last = best[i];
    }
    bool guided = loops < length;
    struct finding *finding = report_add(
        report, guided ? RULE_guide_against : RULE_loops_cross, pattern->loops.at[last].span,
        guided ? "%s%d loop%s cannot keep to the guides and lie clear"
               : "%s%d outside loop%s cannot lie clear of each other in two lanes",
        loops > 1 ? "these " : "this ", loops, loops > 1 ? "s" : "");
    for (int i = 0; i < length; i++) {
        if (best[i] >= graph->loops) continue;
        const struct loop *loop = &pattern->loops.at[best[i]];
        finding_note(report, finding, loop->span, "%s", loop_words(pattern, arena, loop));
        for (int lane = LANE_FRONT; guided && lane <= LANE_BACK; lane++) {
            int hole = guided_hole(pattern->frame, loop, (enum lane)lane);
            if (hole != NO_HOLE)
                finding_note(report, finding, pattern->frame->holes[hole].guide_span,
                             "%s guides it to the %s", pattern->frame->holes[hole].name,
                             lane_word((enum lane)lane));
        }
    }
    finding_help(report, finding,
                 "string one of these strands at another time or from another hole");
}

/* False where all loops lie clear of each other. */
static bool report_one_lane(const struct lane_graph *graph, struct arena *arena,
                            struct report *report) {
    const struct pattern *pattern = graph->pattern;
    bool any = false;
    for (int i = 0; i < graph->loops; i++)
        for (int k = 0; k < i; k++) {
            if (!joined(graph, i, k)) continue;
            any = true;
            const struct loop *later = &pattern->loops.at[i], *earlier = &pattern->loops.at[k];
            struct finding *finding = report_add(
                report, RULE_loops_cross, later->span, "%s crosses %s, and this frame has one lane",
                loop_words(pattern, arena, later), loop_words(pattern, arena, earlier));
            if (finding == &report->surplus) return true; /* enough is told */
            finding_note(report, finding, earlier->span, "the other loop");
            finding_help(report, finding,
                         "string one of these strands at another time or from another hole");
        }
    return any;
}

/* Gives every loop its lane; where there is no way to, none gets one. */
void assign_lanes(struct pattern *pattern, struct arena *arena, struct report *report) {
    struct lane_graph graph = build_graph(pattern, arena);
    if (pattern->frame->lanes == 1) {
        if (report_one_lane(&graph, arena, report)) return;
        for (size_t i = 0; i < pattern->loops.count; i++)
            pattern->loops.at[i].lane = LANE_FRONT;
        return;
    }
    enum lane *colours = arena_many(arena, enum lane, graph.nodes);
    int *queue = arena_many(arena, int, graph.nodes), reached;
    bool fits = colour_from(&graph, graph.loops, LANE_FRONT, colours, queue, &reached);
    for (int i = 0; i < graph.loops; i++) {
        if (colours[i] != LANE_UNSAID) continue;
        fits &= colour_from(&graph, i, LANE_FRONT, colours, queue, &reached);
        prefer_front(colours, queue, reached);
    }
    if (!fits) {
        report_cycle(&graph, arena, report);
        return;
    }
    for (int i = 0; i < graph.loops; i++)
        pattern->loops.at[i].lane = colours[i];
}
