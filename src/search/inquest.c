/* The lines of a pattern, and searching with some of them only. What is known from one search is
 * not searched again. Knows nothing of what is told of it. */
#include "search/inquest.h"

#include "ground/limits.h"

#include <string.h>

enum {
    MOST_SEARCHES = 600,
    MOST_NODES = 600000,      /* of searches that are allowed together ... */
    MOST_NODES_EACH = 120000, /* ... and of each */
    MOST_NODES_LOOPS = 4000   /* ... and of the one for the shortest longest loop */
};

/* ---- the lines ---- */

static bool wish_forbids(const struct pattern *pattern, int wish) {
    const struct intents *intents = &pattern->intents;
    switch (wish) {
    case WISH_CROSSES_FROM: /* without it that of the frame counts */
        return intents->skip.has == NULL && !span_given(pattern->frame->crosses_from.span);
    case WISH_AHEAD: return intents->ahead_first <= USUAL_LEAD && intents->ahead_then <= USUAL_LEAD;
    case WISH_LOOPS:
    case WISH_BEGINS:
    case WISH_LONG_SIDE:
    case WISH_SHORT_SIDE: return false;
    default: return wish < WISHES;
    }
}

static void add_line(struct inquest *q, int wish, struct span span) {
    struct line *line = NULL;
    if (!span_given(span)) return;
    for (int i = 0; i < q->count && line == NULL; i++)
        if (q->lines[i].span.start == span.start && q->lines[i].span.end == span.end)
            line = &q->lines[i];
    if (line == NULL && q->count == MOST_LINES) {
        q->too_many = true;
        return;
    }
    if (line == NULL) {
        line = &q->lines[q->count++];
        line->forbids = true;
    }
    line->span = span;
    line->forbids &= wish_forbids(q->pattern, wish);
    if (line->count < MOST_WISHES) line->wishes[line->count++] = wish;
}

static void sort_lines(struct inquest *q) {
    for (int i = 1; i < q->count; i++)
        for (int k = i; k > 0 && q->lines[k].span.start < q->lines[k - 1].span.start; k--) {
            struct line line = q->lines[k];
            q->lines[k] = q->lines[k - 1];
            q->lines[k - 1] = line;
        }
}

static bool is_part(const struct line *part, const struct line *whole) {
    return whole->span.start <= part->span.start && part->span.end <= whole->span.end;
}

/* What is part of a line goes with it, so that it only forbids where its parts do. */
static void heed_parts(struct inquest *q) {
    for (int i = 0; i < q->count; i++)
        for (int k = 0; k < q->count; k++)
            if (is_part(&q->lines[k], &q->lines[i])) q->lines[i].forbids &= q->lines[k].forbids;
}

static void list_lines(struct inquest *q) {
    const struct pattern *pattern = q->pattern;
    const struct intents *intents = &pattern->intents;
    const struct frame *frame = pattern->frame;
    if (intents->pieces == 1 && !sides_are_alike(frame))
        add_line(q, WISH_LONG_SIDE, intents->long_side.span);
    add_line(q, WISH_CROSSES_FROM, intents->crosses_from.span);
    add_line(q, WISH_MAINS_FROM, intents->mains_from.span);
    add_line(q, WISH_AHEAD, intents->ahead_span);
    add_line(q, WISH_BEGINS, intents->begins_span);
    add_line(q, WISH_AROUND, intents->around_span);
    add_line(q, WISH_LOOPS, intents->loops_span);
    add_line(q, WISH_FIXED, intents->clamps_span[CLAMP_FIXED]);
    add_line(q, WISH_STARTING, intents->clamps_span[CLAMP_STARTING]);
    add_line(q, WISH_FINISH, intents->finish_at.span);
    if (!span_given(intents->crosses_from.span)) add_line(q, WISH_MAKER, frame->crosses_from.span);
    if (intents->pieces == 1 && !span_given(intents->long_side.span) &&
        frame->short_side.side != SIDE_UNSAID)
        add_line(q, WISH_SHORT_SIDE, frame->short_side.span);
    for (size_t i = 0; i < intents->holds.count; i++)
        add_line(q, hold_wish(pattern, i), intents->holds.at[i].span);
    for (size_t i = 0; i < pattern->legs.count; i++)
        add_line(q, leg_wish(i), pattern->legs.at[i].span);
    sort_lines(q);
    heed_parts(q);
}

/* ---- searching with some lines only ---- */

/* What is part of a line goes with it. */
static bool is_kept_whole(const struct inquest *q, line_set set, int line) {
    bool kept = true;
    for (int i = 0; i < q->count; i++)
        if (is_part(&q->lines[line], &q->lines[i])) kept &= set >> i & 1;
    return kept;
}

bool is_spent(const struct inquest *q) {
    return q->nodes <= 0 || q->answered.count >= MOST_SEARCHES;
}

static void keep_witness(struct inquest *q, const struct route_way *way) {
    if (q->pattern->legs.count > 0) return; /* they number what is written, some with other lines */
    bool full = q->witness_count == MOST_WITNESSES;
    struct route_way *at = &q->witnesses[full ? MOST_WITNESSES - 1 : q->witness_count++];
    struct token *room = at->tokens;
    for (; at > q->witnesses; at--)
        *at = at[-1];
    at->tokens = room;
    copy_way(at, way);
}

/* Whether a way that was found with other lines is one with these. */
static bool is_witnessed(struct inquest *q, struct problem problem) {
    for (int i = 0; i < q->witness_count; i++) {
        problem.question.only = &q->witnesses[i];
        if (search_routes(&problem, 1).count == 0) continue;
        struct route_way way = q->witnesses[i];
        q->witnesses[i] = q->witnesses[0];
        q->witnesses[0] = way;
        return true;
    }
    return false;
}

enum answer search_with(struct inquest *q, line_set set, struct question question,
                        int64_t *longest) {
    if (is_spent(q)) return NOT_KNOWN;
    memset(q->kept, 1, sizeof(bool) * (size_t)wish_count(q->pattern));
    for (int i = 0; i < q->count; i++)
        for (int k = 0; k < q->lines[i].count; k++)
            q->kept[q->lines[i].wishes[k]] = is_kept_whole(q, set, i);
    struct arena_mark mark = arena_mark(q->arena);
    question.kept = q->kept;
    question.first_will_do = longest == NULL;
    question.shortest_loops = longest != NULL;
    long most = longest != NULL ? MOST_NODES_LOOPS : q->most_each;
    question.most_nodes = q->nodes < most ? q->nodes : most;
    struct problem problem;
    enum answer answer = NOT_KNOWN;
    if (!pose_problem(&problem, q->pattern, question, q->arena)) {
        answer = NOT_KNOWN;
    } else if (longest == NULL && is_witnessed(q, problem)) {
        answer = THERE_IS_A_WAY;
    } else {
        struct outcome outcome = search_routes(&problem, 1);
        if (outcome.count > 0) keep_witness(q, &outcome.ways[0]);
        q->nodes -= outcome.nodes;
        *q->left -= outcome.nodes;
        answer = outcome.count > 0 ? THERE_IS_A_WAY : outcome.proved ? THERE_IS_NONE : NOT_KNOWN;
        if (longest != NULL && outcome.count > 0) *longest = outcome.ways[0].cost[AIM_LONGEST_LOOP];
    }
    arena_rewind(q->arena, mark);
    return answer;
}

void allow_nodes(struct inquest *q) { q->nodes = *q->left < MOST_NODES ? *q->left : MOST_NODES; }

/* What follows from the answers there are: with fewer lines that only forbid there is a way all the
 * more, and with more of them none. */
static enum answer known_answer(const struct inquest *q, line_set set) {
    line_set forbidding = 0;
    for (int i = 0; i < q->count; i++)
        if (q->lines[i].forbids) forbidding |= (line_set)1 << i;
    for (size_t i = 0; i < q->answered.count; i++) {
        line_set other = q->answered.at[i].set;
        enum answer answer = q->answered.at[i].answer;
        line_set more = answer == THERE_IS_A_WAY ? other & ~set : set & ~other;
        line_set less = answer == THERE_IS_A_WAY ? set & ~other : other & ~set;
        if (less == 0 && (more & ~forbidding) == 0) return answer;
    }
    return NOT_KNOWN;
}

static void note_answer(struct inquest *q, line_set set, enum answer answer) {
    if (answer != NOT_KNOWN) *array_add(q->arena, &q->answered) = (struct answered){set, answer};
}

enum answer search_within(struct inquest *q, line_set set) {
    enum answer answer = known_answer(q, set);
    if (answer == NOT_KNOWN) {
        answer = search_with(q, set, (struct question){0}, NULL);
        note_answer(q, set, answer);
    }
    return answer;
}

struct inquest *open_inquest(const struct pattern *pattern, struct arena *arena, long *left) {
    struct inquest *q = arena_one(arena, struct inquest);
    q->pattern = pattern;
    q->arena = arena;
    q->left = left;
    q->helps = output_to(arena);
    q->most_each = MOST_NODES_EACH;
    q->kept = arena_many(arena, bool, wish_count(pattern));
    for (int i = 0; i < MOST_WITNESSES; i++)
        q->witnesses[i].tokens = arena_many(arena, struct token, most_tokens(pattern->frame));
    list_lines(q);
    note_answer(q, all_lines(q), THERE_IS_NONE);
    allow_nodes(q);
    return q;
}
