/* Acts as legs again. Acts in a row of one end make legs: as long as its strands are threaded and
 * pulled in a steady way they are one leg of runs, else each act is written for itself. */
#include "pattern/written.h"

struct writing {
    const struct pattern *pattern;
    struct output *out;
    bool begun; /* something stands in this leg */
};

static const struct act *act_at(const struct writing *w, size_t at) {
    return &w->pattern->acts.at[at];
}

static void begin_item(struct writing *w) {
    put(w->out, w->begun ? ", " : " ");
    w->begun = true;
}

/* ---- strands ---- */

static const struct strand *strand_of(const struct writing *w, int end, int pass) {
    return &w->pattern->frame->strands[w->pattern->ends[end].passes.at[pass].strand];
}

static bool says_how(const struct pass *pass) {
    return pass->from_side != SIDE_UNSAID || pass->from_place != PLACE_UNSAID ||
           pass->first != START_UNSTATED;
}

/* How many passes from `first` on make one run M1..M6. */
static int run_length(const struct writing *w, int end, int first, int count, bool threads) {
    int step = 0, length = 1;
    for (; length < count; length++) {
        const struct strand *before = strand_of(w, end, first + length - 1);
        const struct strand *strand = strand_of(w, end, first + length);
        int way = strand->number - before->number;
        bool goes_on = strand->kind == before->kind && strand->side == before->side &&
                       (way == 1 || way == -1) && (step == 0 || way == step);
        if (!goes_on || (threads && says_how(&w->pattern->ends[end].passes.at[first + length])))
            break;
        step = way;
    }
    return length;
}

static void put_strand(struct output *out, const struct strand *strand) {
    put_format(out, "%c%d", strand->kind == MAIN ? 'M' : 'C', strand->number);
}

static void put_how(struct output *out, const struct pass *pass) {
    if (pass->from_side != SIDE_UNSAID) put_format(out, " from %s", side_word(pass->from_side));
    if (pass->from_place != PLACE_UNSAID) put_format(out, " from %s", place_word(pass->from_place));
    if (pass->first != START_UNSTATED)
        put(out, pass->first == START_OVER ? " over first" : " under first");
}

/* Passes in a row of an end, as items; `verb` is "", "thread " or "pull ". */
static void write_passes(struct writing *w, int end, int first, int count, const char *verb) {
    bool threads = verb[0] != 'p';
    while (count > 0) {
        int length = run_length(w, end, first, count, threads);
        const struct strand *strand = strand_of(w, end, first);
        bool own = strand->kind == CROSS || strand->side == SIDE_CENTRE ||
                   strand->side == w->pattern->ends[end].side;
        begin_item(w);
        put(w->out, verb);
        if (!own) put_format(w->out, "%s ", side_word(strand->side));
        put_strand(w->out, strand);
        if (length > 1) {
            put(w->out, "..");
            put_strand(w->out, strand_of(w, end, first + length - 1));
        }
        if (threads) put_how(w->out, &w->pattern->ends[end].passes.at[first]);
        first += length;
        count -= length;
    }
}

/* ---- starts and ties ---- */

static void put_knot(struct output *out, const struct knot *knot) {
    if (knot->side != SIDE_UNSAID && knot->side != SIDE_CENTRE)
        put_format(out, "%s ", side_word(knot->side));
    put_format(out, "%d%c", knot->number, knot->place == PLACE_HEAD ? 'H' : 'T');
}

static void write_start(struct writing *w, const struct end *end) {
    begin_item(w);
    put(w->out, "start ");
    put_knot(w->out, &end->start);
    if (end->start_clamped) put(w->out, " clamp");
}

static void write_tie(struct writing *w, const struct end *end) {
    begin_item(w);
    put(w->out, "tie ");
    put_knot(w->out, &end->tie);
}

/* ---- legs ---- */

/* Strands threaded and pulled in a steady way: `ahead` + 1 are threaded, then one is pulled and one
 * threaded in turn, then the rest pulled. */
struct steady {
    size_t end; /* the act after them; 0: they are not steady */
    int count, ahead;
};

static size_t count_threads(const struct writing *w, size_t from, size_t end) {
    size_t count = 0;
    while (from + count < end && act_at(w, from + count)->kind == ACT_THREAD)
        count++;
    return count;
}

static struct steady steady_from(const struct writing *w, size_t from, size_t end) {
    size_t threads = count_threads(w, from, end), at = from + threads;
    struct steady steady = {.count = (int)threads, .ahead = (int)threads - 1};
    int waiting = (int)threads;
    while (at < end && waiting > 0 && act_at(w, at)->kind == ACT_PULL) {
        if (act_at(w, at)->pass != act_at(w, from)->pass + steady.count - waiting) return steady;
        at++;
        waiting--;
        bool full = waiting == steady.ahead;
        if (!full || count_threads(w, at, end) != 1) continue;
        bool pulled = at + 1 < end && act_at(w, at + 1)->kind == ACT_PULL;
        if (!pulled) continue;
        at++;
        waiting++;
        steady.count++;
    }
    if (threads > 0 && waiting == 0) steady.end = at;
    return steady;
}

static size_t write_steady(struct writing *w, size_t from, struct steady steady) {
    const struct act *first = act_at(w, from);
    write_passes(w, first->end, first->pass, steady.count, "");
    if (steady.ahead > 0) {
        begin_item(w);
        put_format(w->out, "thread %d ahead", steady.ahead);
    }
    return steady.end;
}

/* Acts of one kind in a row, each for itself. */
static size_t write_acts(struct writing *w, size_t from, size_t end) {
    const struct act *first = act_at(w, from);
    int count = 1;
    size_t at = from + 1;
    for (; at < end && act_at(w, at)->kind == first->kind; at++)
        count++;
    write_passes(w, first->end, first->pass, count, first->kind == ACT_PULL ? "pull " : "thread ");
    return at;
}

/* One leg of an end's acts in a row; the act after it. */
static size_t write_leg(struct writing *w, size_t from, size_t end) {
    const struct end *worker = &w->pattern->ends[act_at(w, from)->end];
    put_char(w->out, '\n');
    put(w->out, end_word(worker->name));
    w->begun = false;
    size_t at = from;
    if (act_at(w, at)->kind == ACT_START) {
        write_start(w, worker);
        at++;
    }
    struct steady steady = {0};
    if (at < end) steady = steady_from(w, at, end);
    if (steady.end > 0) at = write_steady(w, at, steady);
    bool single = steady.end == 0;
    while (single && at < end && act_at(w, at)->kind != ACT_TIE)
        at = write_acts(w, at, end);
    if (at < end && act_at(w, at)->kind == ACT_TIE) {
        write_tie(w, worker);
        at++;
    }
    return at;
}

void write_legs(const struct pattern *pattern, size_t first, size_t end,
                struct leg_comments comments, struct output *out) {
    struct writing writing = {.pattern = pattern, .out = out};
    while (first < end) {
        size_t row = first;
        while (row < end && pattern->acts.at[row].end == pattern->acts.at[first].end)
            row++;
        while (first < row) {
            put(out, comments.above);
            first = write_leg(&writing, first, row);
            put(out, comments.behind);
        }
    }
}
