/* Why there is no way to string a pattern: a smallest set of lines that cannot hold together, found
 * and confirmed by searching without them. */
#include "search/problem.h"

#include "ground/limits.h"
#include "ground/output.h"

#include <string.h>

enum {
    MOST_LINES = 24,
    MOST_WISHES = 4, /* said by one line */
    MOST_SEARCHES = 600,
    MOST_NODES = 600000,      /* of all searches for the set ... */
    MOST_NODES_EACH = 120000, /* ... and of each */
    MOST_NODES_LOOPS = 4000,  /* ... and of the one for loops that would do ... */
    MOST_NODES_HELP = 1000,   /* ... and for what else would, where lines are to blame */
    MOST_CLAMPS_MORE = 4,
    FEW_SETS = 100,
    MOST_NAMED = 6,
    MOST_WITNESSES = 12
};

struct line {
    int wishes[MOST_WISHES], count;
    struct span span;
    bool forbids; /* it allows nothing that is not allowed without it */
};

enum answer { THERE_IS_A_WAY, THERE_IS_NONE, NOT_KNOWN };

/* Lines as bits. */
typedef uint32_t line_set;

struct answered {
    line_set set;
    enum answer answer;
};

struct inquest {
    const struct pattern *pattern;
    struct arena *arena;
    struct line lines[MOST_LINES];
    int count;
    bool *kept; /* by wish: of the question asked last */
    array_of(struct answered) answered;
    long nodes; /* that may still be looked at */
    long *left; /* the same by all searches of the text */
    long most_each;
    struct route_way witnesses[MOST_WITNESSES]; /* ways that were found, the last first */
    int witness_count;
    struct output helps;
};

static line_set all_lines(const struct inquest *q) { return ((line_set)1 << q->count) - 1; }

static int size_of(line_set set) {
    int size = 0;
    for (; set != 0; set &= set - 1)
        size++;
    return size;
}

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
    if (line == NULL && q->count == MOST_LINES) return;
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
}

/* ---- searching with some lines only ---- */

/* What is part of a line goes with it. */
static bool is_kept_whole(const struct inquest *q, line_set set, int line) {
    struct span part = q->lines[line].span;
    bool kept = true;
    for (int i = 0; i < q->count; i++) {
        struct span whole = q->lines[i].span;
        if (whole.start <= part.start && part.end <= whole.end) kept &= set >> i & 1;
    }
    return kept;
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
        if (search_routes(&problem, 1).count > 0) return true;
    }
    return false;
}

static enum answer search_with(struct inquest *q, line_set set, struct question question,
                               int64_t *longest) {
    if (q->nodes <= 0) return NOT_KNOWN;
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

static void allow_nodes(struct inquest *q) {
    q->nodes = *q->left < MOST_NODES ? *q->left : MOST_NODES;
}

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

static enum answer search_within(struct inquest *q, line_set set) {
    enum answer answer = known_answer(q, set);
    if (answer != NOT_KNOWN || q->answered.count == MOST_SEARCHES) return answer;
    answer = search_with(q, set, (struct question){0}, NULL);
    if (answer != NOT_KNOWN) *array_add(q->arena, &q->answered) = (struct answered){set, answer};
    return answer;
}

/* ---- the smallest set ---- */

/* Leaves out one line after another as long as there is no way. */
static line_set thin_out(struct inquest *q) {
    line_set set = all_lines(q);
    for (int i = 0; i < q->count; i++) {
        line_set without = set & ~((line_set)1 << i);
        if (search_within(q, without) == THERE_IS_NONE) set = without;
    }
    return set;
}

/* A set of `size` lines, members from `from` on, that excludes every way; 0 where there is none. */
static line_set excluding_set(struct inquest *q, line_set chosen, int from, int size) {
    if (size == 0) return search_within(q, chosen) == THERE_IS_NONE ? chosen : 0;
    for (int i = from; i + size <= q->count; i++) {
        line_set found = excluding_set(q, chosen | (line_set)1 << i, i + 1, size - 1);
        if (found != 0) return found;
    }
    return 0;
}

static int sets_of(int lines, int size) {
    int sets = 1;
    for (int i = 0; i < size; i++)
        sets = sets * (lines - i) / (i + 1);
    return sets;
}

/* Where they are few all sets are tried, the small ones first: with so little said there mostly is
 * a way, and it is soon found. Where they are many it is seen first how large they need to be. */
static line_set smallest_set(struct inquest *q) {
    line_set set = all_lines(q), smaller = 0;
    for (int size = 1; size < size_of(set) && smaller == 0; size++) {
        if (set == all_lines(q) && sets_of(q->count, size) > FEW_SETS) set = thin_out(q);
        if (size < size_of(set)) smaller = excluding_set(q, 0, 0, size);
    }
    return smaller != 0 ? smaller : set;
}

/* ---- in words ---- */

static const char *string_words(const struct inquest *q) {
    return format(q->arena, "%s in %s", q->pattern->frame->name,
                  q->pattern->intents.pieces == 1 ? "one piece" : "two pieces");
}

static const char *lines_words(const struct inquest *q, int count) {
    static const char *const numbers[] = {"", "", "two", "three", "four", "five", "six"};
    if (count == 1) return "this line excludes";
    return count <= MOST_NAMED ? format(q->arena, "these %s lines exclude", numbers[count])
                               : format(q->arena, "these %d lines exclude", count);
}

/* ---- what would do instead ---- */

static struct output *next_help(struct inquest *q) {
    if (q->helps.length > 0) put(&q->helps, "; or ");
    return &q->helps;
}

/* A longer limit on loops, where no loop goes further than a quarter of the way round: longer ones
 * are no help to anybody. */
static void help_with_loops(struct inquest *q) {
    int64_t quarter = (int64_t)(q->pattern->frame->outline.half_arc / 2 * 1000), longest;
    line_set without = all_lines(q);
    for (int i = 0; i < q->count; i++)
        if (q->lines[i].wishes[0] == WISH_LOOPS) without &= ~((line_set)1 << i);
    bool said = without != all_lines(q);
    allow_nodes(q);
    if (search_with(q, without, (struct question){.loops_most = quarter}, &longest) !=
        THERE_IS_A_WAY)
        return;
    put_format(next_help(q), "%s, such as: loops up to %d mm",
               said ? "a longer limit would do" : "longer loops would do",
               (int)((longest + 999) / 1000));
}

static bool would_do(struct inquest *q, line_set set, struct question question) {
    return search_with(q, set, question, NULL) == THERE_IS_A_WAY;
}

/* Whether it would with all lines, or else, where none is blamed, without any. */
static bool would_help(struct inquest *q, struct question question, line_set blamed,
                       line_set *set) {
    allow_nodes(q);
    *set = all_lines(q);
    if (would_do(q, *set, question)) return true;
    if (blamed != 0 || *set == 0) return false;
    *set = 0;
    return would_do(q, *set, question);
}

static const char *proviso(const struct inquest *q, line_set set) {
    return set == all_lines(q) ? "" : " without the other lines";
}

/* The fewest clamps that would do with a set of lines: of as many, those with more fixed ones.
 * False where no clamps would. Needs no more than MOST_CLAMPS_MORE: one for each end, and one for
 * the start of a cross string. */
static bool fewest_clamps(struct inquest *q, line_set set, int clamps[CLAMP_KINDS]) {
    const int *has = q->pattern->bench->clamps;
    for (int kind = 0; kind < CLAMP_KINDS; kind++)
        clamps[kind] = LIMIT_CLAMPS;
    allow_nodes(q);
    if (!would_do(q, set, (struct question){.clamps = clamps})) return false;
    for (int more = 1; more <= MOST_CLAMPS_MORE; more++)
        for (int starting = 0; starting <= more; starting++) {
            clamps[CLAMP_FIXED] = has[CLAMP_FIXED] + more - starting;
            clamps[CLAMP_STARTING] = has[CLAMP_STARTING] + starting;
            if (clamps[CLAMP_FIXED] <= LIMIT_CLAMPS && clamps[CLAMP_STARTING] <= LIMIT_CLAMPS &&
                would_do(q, set, (struct question){.clamps = clamps}))
                return true;
        }
    return false;
}

/* Where the pattern allows too few itself, its line says so already. */
static bool clamps_are_blamed(const struct inquest *q, line_set blamed) {
    for (int i = 0; i < q->count; i++)
        for (int k = 0; blamed >> i & 1 && k < q->lines[i].count; k++)
            if (q->lines[i].wishes[k] == WISH_FIXED || q->lines[i].wishes[k] == WISH_STARTING)
                return true;
    return false;
}

static bool help_with_clamps(struct inquest *q, line_set blamed) {
    const struct bench *bench = q->pattern->bench;
    int clamps[CLAMP_KINDS];
    line_set set = all_lines(q);
    if (clamps_are_blamed(q, blamed)) return false;
    bool enough = fewest_clamps(q, set, clamps);
    if (!enough && blamed == 0 && set != 0) {
        set = 0;
        enough = fewest_clamps(q, set, clamps);
    }
    if (enough)
        put_format(next_help(q),
                   "clamps %d fixed, %d starting would do%s: the bench has %d and %d, %s",
                   clamps[CLAMP_FIXED], clamps[CLAMP_STARTING], proviso(q, set),
                   bench->clamps[CLAMP_FIXED], bench->clamps[CLAMP_STARTING],
                   bench->clamps_given ? "as it says" : "as is assumed");
    return enough;
}

/* What would do instead of what the bench and the frame are like, one by one, with all lines; where
 * none is to blame, else without any. */
static void help(struct inquest *q, struct report *report, struct finding *finding,
                 line_set blamed) {
    const struct pattern *pattern = q->pattern;
    line_set set;
    if (blamed != 0) q->most_each = MOST_NODES_HELP;
    if (help_with_clamps(q, blamed) && span_given(pattern->bench->span))
        finding_note(report, finding, pattern->bench->span, "the bench");
    if (would_help(q, (struct question){.any_lane = true}, blamed, &set))
        put_format(next_help(q), "two lanes without guides would do%s: see lanes and guide in %s",
                   proviso(q, set), pattern->frame->name);
    if (would_help(q, (struct question){.any_knot_hole = true}, blamed, &set))
        put_format(next_help(q), "other holes for the knots would do%s: see tie-off in %s",
                   proviso(q, set), pattern->frame->name);
    help_with_loops(q);
    if (q->helps.length > 0) finding_help(report, finding, "%s", output_text(&q->helps));
}

/* ---- what is told ---- */

static void tell_set(struct inquest *q, struct report *report, line_set set) {
    int count = size_of(set), first = 0;
    while (!(set >> first & 1))
        first++;
    struct finding *finding = report_add(report, RULE_intents_clash, q->lines[first].span,
                                         count == 1 ? "%s every way to string %s"
                                                    : "%s each other: there is no way to string %s",
                                         lines_words(q, count), string_words(q));
    for (int i = 0; i < q->count; i++) {
        if (!(set >> i & 1)) continue;
        allow_nodes(q);
        enum answer without = search_within(q, all_lines(q) & ~((line_set)1 << i));
        bool alone = without == THERE_IS_A_WAY;
        if (count > 1)
            finding_note(report, finding, q->lines[i].span,
                         alone                      ? "without this there is a way"
                         : without == THERE_IS_NONE ? "this is one of them"
                                                    : "this is one of them; whether there is a way "
                                                      "without it took too long to be settled");
        else if (alone)
            put(next_help(q), "without this line there is a way");
    }
    help(q, report, finding, set);
}

static void tell_frame(struct inquest *q, struct report *report) {
    struct finding *finding =
        report_add(report, RULE_intents_clash, q->pattern->intents.pieces_span,
                   "there is no way to string %s, whatever the other lines say", string_words(q));
    help(q, report, finding, 0);
}

void tell_conflict(const struct pattern *pattern, struct arena *arena, struct report *report,
                   long *left) {
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
    allow_nodes(q);
    if (search_within(q, 0) == THERE_IS_NONE)
        tell_frame(q, report);
    else
        tell_set(q, report, smallest_set(q));
}
