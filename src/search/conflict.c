/* Why there is no way to string a pattern: a smallest set of lines that cannot hold together, found
 * and confirmed by searching without them; and what would do instead. */
#include "search/inquest.h"

#include "ground/limits.h"

enum {
    MOST_NODES_HELP = 1000, /* of a search for what would do, where lines are to blame */
    MOST_CLAMPS_MORE = 4,
    FEW_SETS = 100,
    MOST_NAMED = 6
};

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
    for (int i = from; i + size <= q->count && !is_spent(q); i++) {
        line_set found = excluding_set(q, chosen | (line_set)1 << i, i + 1, size - 1);
        if (found != 0) return found;
    }
    return 0;
}

static bool sets_are_few(int lines, int size) {
    int sets = 1;
    for (int i = 0; i < size && sets <= FEW_SETS; i++)
        sets = sets * (lines - i) / (i + 1);
    return sets <= FEW_SETS;
}

/* Where they are few all sets are tried, the small ones first: with so little said there mostly is
 * a way, and it is soon found. Where they are many it is seen first how large they need to be. */
static line_set smallest_set(struct inquest *q) {
    line_set set = all_lines(q), smaller = 0;
    for (int size = 1; size < size_of(set) && smaller == 0; size++) {
        if (set == all_lines(q) && !sets_are_few(q->count, size)) set = thin_out(q);
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
                   "clamps %d fixed, %d starting would do%s: the bench has %d and %d%s",
                   clamps[CLAMP_FIXED], clamps[CLAMP_STARTING], proviso(q, set),
                   bench->clamps[CLAMP_FIXED], bench->clamps[CLAMP_STARTING],
                   bench->clamps_given ? "" : ", as is assumed");
    return enough;
}

/* Of the way that was found last, the holes of knots that have no room for one. */
static const char *knot_holes_words(const struct inquest *q) {
    struct output out = output_to(q->arena);
    const struct route_way *way = &q->witnesses[0];
    for (int i = 0; q->witness_count > 0 && i < way->count; i++) {
        const struct token *token = &way->tokens[i];
        const struct hole *hole = &q->pattern->frame->holes[token->enter];
        if ((token->kind != TOKEN_TIE && token->kind != TOKEN_START) || hole->tie_off) continue;
        bool centre = hole->side == SIDE_CENTRE;
        put_format(&out, "%s%s%s%d%c", out.length > 0 ? " and " : ", such as ",
                   centre ? "" : side_word(hole->side), centre ? "" : " ", hole->number,
                   hole->place == PLACE_HEAD ? 'H' : 'T');
    }
    return output_text(&out);
}

/* What would do instead of what the bench and the frame are like, one by one, with all lines; where
 * none is to blame, else without any. */
static void help(struct inquest *q, struct report *report, struct finding *finding, line_set blamed,
                 bool clamps) {
    const struct pattern *pattern = q->pattern;
    line_set set;
    if (clamps && span_given(pattern->bench->span))
        finding_note(report, finding, pattern->bench->span, "the bench");
    if (would_help(q, (struct question){.any_lane = true}, blamed, &set))
        put_format(next_help(q), "two lanes without guides would do%s: see lanes and guide in %s",
                   proviso(q, set), pattern->frame->name);
    if (would_help(q, (struct question){.any_knot_hole = true}, blamed, &set))
        put_format(next_help(q), "other holes for the knots would do%s%s: see tie-off in %s",
                   proviso(q, set), knot_holes_words(q), pattern->frame->name);
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
        else if (without == THERE_IS_NONE)
            finding_note(report, finding, q->lines[i].span,
                         "without this line others are in the way still");
    }
    q->most_each = MOST_NODES_HELP;
    help(q, report, finding, set, help_with_clamps(q, set));
}

static void tell_frame(struct inquest *q, struct report *report) {
    bool clamps = help_with_clamps(q, 0);
    struct finding *finding =
        report_add(report, RULE_intents_clash, q->pattern->intents.pieces_span,
                   "there is no way to string %s%s%s", string_words(q),
                   clamps ? " with the clamps of the bench" : "",
                   q->count > 0 ? ", whatever the other lines say" : "");
    help(q, report, finding, 0, clamps);
}

static void tell_unsettled(struct inquest *q, struct report *report, bool others_took) {
    struct finding *finding =
        report_add(report, RULE_intents_clash, q->pattern->intents.pieces_span,
                   "there is no way to string %s; %s", string_words(q),
                   q->too_many ? "its lines are too many to be tried without one another"
                               : "whether that is for what its lines say took too long to be "
                                 "settled");
    if (others_took && !q->too_many) note_others_took(report, finding);
}

void tell_conflict(const struct pattern *pattern, struct arena *arena, struct report *report,
                   long *left, bool others_took) {
    struct inquest *q = open_inquest(pattern, arena, left);
    switch (q->too_many ? NOT_KNOWN : search_within(q, 0)) {
    case THERE_IS_NONE: tell_frame(q, report); break;
    case THERE_IS_A_WAY: tell_set(q, report, smallest_set(q)); break;
    case NOT_KNOWN: tell_unsettled(q, report, others_took); break;
    }
}
