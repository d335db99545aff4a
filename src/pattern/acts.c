/* Acts: what the legs say, one thing at a time. "Thread 1 ahead" and pulling two ends in turn are
 * settled here; when clamps go on and off is not. */
#include "pattern/stages.h"

/* One thing a leg says to do, before threading ahead is settled. */
struct step {
    enum act_kind kind;
    int end;
    int strand;
    const struct run *run;
    bool first_of_run;
    const struct leg_item *item;
    struct span span;
    bool done;
};

struct steps {
    array_of(struct step) list;
};

/* Strands that one run strings and another has strung before it. */
struct doubled {
    bool *strands;
    int count, owner; /* how many; the end that has strung them */
    struct span span, first;
};

struct laying {
    struct pattern *pattern;
    struct arena *arena;
    struct report *report;
    bool sound;
    size_t overtaken[3]; /* by end: numbers from 1 of the pass that waits, 0 for none ... */
    size_t overtakes[3]; /* ... and of the one pulled before it */
    array_of(struct doubled) doubled;
    bool told_tied[3]; /* by end: that it works on after its knot */
};

static const char *strand_name_of(const struct laying *lay, int strand) {
    return lay->pattern->frame->strands[strand].name;
}

/* ---- from a leg to its steps ---- */

static void add_strand_steps(struct laying *lay, struct steps *steps, int end, int strand,
                             const struct run *run, bool first, struct span span) {
    static const enum act_kind kinds[] = {ACT_THREAD, ACT_PULL};
    for (int i = 0; i < 2; i++) {
        if (run->verb == (i == 0 ? DO_PULL : DO_THREAD)) continue;
        struct step *step = array_add(lay->arena, &steps->list);
        *step = (struct step){.kind = kinds[i],
                              .end = end,
                              .strand = strand,
                              .run = run,
                              .first_of_run = first,
                              .span = span};
    }
}

static void steps_of_one_end(struct laying *lay, struct steps *steps, const struct leg *leg) {
    int end = pattern_end(lay->pattern, leg->end);
    for (size_t i = 0; i < leg->items.count; i++) {
        const struct leg_item *item = &leg->items.at[i];
        if (item->kind == LEG_RUN) {
            for (int k = 0; k < item->run.count; k++)
                add_strand_steps(lay, steps, end, item->run.strands[k], &item->run, k == 0,
                                 item->span);
            continue;
        }
        struct step *step = array_add(lay->arena, &steps->list);
        *step = (struct step){.kind = item->kind == LEG_START ? ACT_START : ACT_TIE,
                              .end = end,
                              .item = item,
                              .span = item->span};
    }
}

/* Two ends in turn: the one that begins pulls `ahead_first`; from the first change on an end goes
 * on until it leads by `ahead_then` or has no more strands. */
static void steps_in_turn(struct laying *lay, struct steps *steps, const struct leg *leg) {
    const struct run *runs[] = {&leg->items.at[0].run, &leg->items.at[1].run};
    int ends[] = {pattern_end(lay->pattern, leg->end), pattern_end(lay->pattern, leg->other)};
    int done[] = {0, 0};
    int turn = 0, lead = leg->ahead_first;
    while (done[0] < runs[0]->count || done[1] < runs[1]->count) {
        while (done[turn] < runs[turn]->count && done[turn] - done[1 - turn] < lead) {
            int k = done[turn]++;
            add_strand_steps(lay, steps, ends[turn], runs[turn]->strands[k], runs[turn], k == 0,
                             leg->span);
        }
        turn = 1 - turn;
        lead = leg->ahead_then;
    }
}

/* ---- from steps to acts ---- */

static void add_act(struct laying *lay, enum act_kind kind, int end, int pass, struct span span) {
    *array_add(lay->arena, &lay->pattern->acts) = (struct act){kind, end, pass, span};
}

/* Keeps a strand strung twice, with those of the same words before it. */
static void note_doubled(struct laying *lay, const struct step *step) {
    int owner = lay->pattern->end_of[step->strand];
    struct span first =
        lay->pattern->ends[owner].passes.at[lay->pattern->pass_of[step->strand]].thread_span;
    struct doubled *last = lay->doubled.count > 0 ? &lay->doubled.at[lay->doubled.count - 1] : NULL;
    if (last == NULL || last->span.start != step->span.start || last->first.start != first.start) {
        last = array_add(lay->arena, &lay->doubled);
        *last =
            (struct doubled){arena_many(lay->arena, bool, lay->pattern->frame->strand_count + 1), 0,
                             owner, step->span, first};
    }
    last->count += !last->strands[step->strand];
    last->strands[step->strand] = true;
}

static void tell_doubled(struct laying *lay) {
    for (size_t i = 0; i < lay->doubled.count; i++) {
        const struct doubled *doubled = &lay->doubled.at[i];
        bool one = doubled->count == 1;
        struct finding *finding = report_add(
            lay->report, RULE_strand_twice, doubled->span, "%s %s strung twice",
            strand_words(lay->pattern->frame, lay->arena, doubled->strands), one ? "is" : "are");
        finding_note(lay->report, finding, doubled->first, "first by the %s end, here",
                     end_word(lay->pattern->ends[doubled->owner].name));
        finding_help(lay->report, finding, "take %s out at one of the two places",
                     one ? "it" : "them");
    }
}

static void thread_strand(struct laying *lay, const struct step *step) {
    struct pattern *pattern = lay->pattern;
    int *owner = &pattern->end_of[step->strand];
    if (*owner != NO_END) {
        lay->sound = false;
        note_doubled(lay, step);
        return;
    }
    struct end *end = &pattern->ends[step->end];
    *owner = step->end;
    pattern->pass_of[step->strand] = (int)end->passes.count;
    struct pass *pass = array_add(lay->arena, &end->passes);
    *pass = (struct pass){
        .strand = step->strand, .enter = NO_HOLE, .leave = NO_HOLE, .thread_span = step->span};
    if (step->first_of_run) {
        pass->from_side = step->run->from_side;
        pass->from_place = step->run->from_place;
        pass->from_span = step->run->from_span;
        pass->first = step->run->first;
        pass->first_span = step->run->first_span;
    }
    add_act(lay, ACT_THREAD, step->end, pattern->pass_of[step->strand], step->span);
}

static void pull_strand(struct laying *lay, const struct step *step) {
    struct pattern *pattern = lay->pattern;
    struct end *end = &pattern->ends[step->end];
    int number = pattern->pass_of[step->strand];
    if (pattern->end_of[step->strand] != step->end) {
        /* A strand taken by another leg is reported where it is threaded again. */
        if (step->run->verb != DO_PULL || step->run->doubtful) return;
        lay->sound = false;
        struct finding *finding =
            report_add(lay->report, RULE_pull_unthreaded, step->span,
                       "%s is pulled here, but the %s end has not %s it",
                       strand_name_of(lay, step->strand), end_word(end->name), "threaded");
        finding_help(lay->report, finding,
                     "write %s without `pull` to do both, or thread it before",
                     strand_name_of(lay, step->strand));
        return;
    }
    struct pass *pass = &end->passes.at[number];
    if (pass->pulled) {
        if (step->run->verb != DO_PULL || step->run->doubtful) return;
        lay->sound = false;
        struct finding *finding =
            report_add(lay->report, RULE_strand_twice, step->span, "%s is pulled twice",
                       strand_name_of(lay, step->strand));
        finding_note(lay->report, finding, pass->pull_span, "first here");
        return;
    }
    int waiting = 0;
    while (end->passes.at[waiting].pulled)
        waiting++;
    if (waiting != number) {
        lay->sound = false;
        if (lay->overtakes[step->end] == 0) {
            lay->overtakes[step->end] = (size_t)number + 1;
            lay->overtaken[step->end] = (size_t)waiting + 1;
        }
    }
    pass->pulled = true;
    pass->pull_span = step->span;
    add_act(lay, ACT_PULL, step->end, number, step->span);
}

static void start_end(struct laying *lay, const struct step *step) {
    struct end *end = &lay->pattern->ends[step->end];
    if (end->name != END_CROSS) {
        lay->sound = false;
        struct finding *finding = report_add(
            lay->report, RULE_start_misplaced, step->span,
            "the %s end starts at the fold, in the middle of its string", end_word(end->name));
        finding_note(lay->report, finding, lay->pattern->intents.pieces_span,
                     "only the cross string of two pieces has a start of its own");
        return;
    }
    if (end->start.given || end->passes.count > 0) {
        bool twice = end->start.given;
        end->start.given = true;
        lay->sound = false;
        struct finding *finding =
            report_add(lay->report, RULE_start_misplaced, step->span,
                       twice ? "the cross string is started twice"
                             : "the cross string is started after its first strand");
        finding_note(lay->report, finding, twice ? end->start.span : end->passes.at[0].thread_span,
                     twice ? "the first start" : "its first strand");
        return;
    }
    end->start.given = true;
    end->start.number = step->item->number;
    end->start.side = step->item->side;
    end->start.place = step->item->place;
    end->start.span = step->span;
    end->start_clamped = step->item->clamped;
    add_act(lay, ACT_START, step->end, 0, step->span);
}

static void tie_end(struct laying *lay, const struct step *step) {
    struct end *end = &lay->pattern->ends[step->end];
    end->tie.given = true;
    end->tie.number = step->item->number;
    end->tie.side = step->item->side;
    end->tie.place = step->item->place;
    end->tie.span = step->span;
    add_act(lay, ACT_TIE, step->end, 0, step->span);
    bool found = span_given(lay->pattern->intents.find_span); /* what it strings may be, still */
    if (end->passes.count > 0 || !lay->pattern->legs_sound || found) return;
    lay->sound = false;
    report_add(lay->report, RULE_end_idle, step->span,
               "the %s end is tied here, but has strung nothing", end_word(end->name));
}

static bool is_tied_somewhere(const struct pattern *pattern, enum end_name end) {
    for (size_t i = 0; i < pattern->legs.count; i++)
        for (size_t k = 0; k < pattern->legs.at[i].items.count; k++)
            if (pattern->legs.at[i].end == end && pattern->legs.at[i].items.at[k].kind == LEG_TIE)
                return true;
    return false;
}

/* Told once of an end: what follows its knot follows from one slip. */
static void after_tie(struct laying *lay, const struct step *step) {
    const struct end *end = &lay->pattern->ends[step->end];
    int other = other_end(lay->pattern, step->end);
    if (lay->told_tied[step->end]) return;
    lay->told_tied[step->end] = true;
    struct finding *finding = report_add(lay->report, RULE_after_tie, step->span,
                                         "the %s end is already tied off", end_word(end->name));
    finding_note(lay->report, finding, end->tie.span, "it is tied here");
    if (other == NO_END) return;
    enum end_name name = lay->pattern->ends[other].name;
    if (!is_tied_somewhere(lay->pattern, name))
        finding_help(lay->report, finding,
                     "the %s end is never tied: if it is meant, begin the line with %s",
                     end_word(name), end_word(name));
}

static void do_step(struct laying *lay, struct step *step) {
    if (step->done) return;
    step->done = true;
    if (step->kind == ACT_THREAD || step->kind == ACT_PULL)
        lay->pattern->named[step->strand] = true;
    const struct end *end = &lay->pattern->ends[step->end];
    if (end->tie.given) {
        lay->sound = false;
        after_tie(lay, step);
        return;
    }
    switch (step->kind) {
    case ACT_THREAD: thread_strand(lay, step); break;
    case ACT_PULL: pull_strand(lay, step); break;
    case ACT_START: start_end(lay, step); break;
    case ACT_TIE: tie_end(lay, step); break;
    }
}

/* Threads the next `ahead` strands of an end that stand behind a pull, up to its tie. */
static void thread_ahead(struct laying *lay, struct steps *steps, size_t pull, int ahead) {
    int end = steps->list.at[pull].end;
    for (size_t i = pull + 1; i < steps->list.count && ahead > 0; i++) {
        struct step *step = &steps->list.at[i];
        if (step->end != end) continue;
        if (step->kind == ACT_TIE) return;
        if (step->kind != ACT_THREAD) continue;
        do_step(lay, step);
        ahead--;
    }
}

static void lay_leg(struct laying *lay, const struct leg *leg) {
    struct steps steps = {{0}};
    if (leg->both)
        steps_in_turn(lay, &steps, leg);
    else
        steps_of_one_end(lay, &steps, leg);
    for (size_t i = 0; i < steps.list.count; i++) {
        if (steps.list.at[i].kind == ACT_PULL && !steps.list.at[i].done)
            thread_ahead(lay, &steps, i, leg->thread_ahead);
        do_step(lay, &steps.list.at[i]);
    }
}

/* ---- pulls that fail ---- */

/* How many passes from `first` on are never pulled and named by one run. */
static size_t count_unpulled(const struct end *end, size_t first) {
    size_t count = 1;
    uint32_t named = end->passes.at[first].thread_span.start;
    while (first + count < end->passes.count && !end->passes.at[first + count].pulled &&
           end->passes.at[first + count].thread_span.start == named)
        count++;
    return count;
}

/* A run as a leg of an end writes it: "M3..M1", "left M2". */
static const char *run_words(const struct laying *lay, const struct end *end, size_t first,
                             size_t count) {
    const struct strand *from = &lay->pattern->frame->strands[end->passes.at[first].strand];
    const struct strand *to =
        &lay->pattern->frame->strands[end->passes.at[first + count - 1].strand];
    bool side = from->kind == MAIN && from->side != SIDE_CENTRE && from->side != end->side;
    char letter = from->kind == MAIN ? 'M' : 'C';
    return format(lay->arena, "%s%s%c%d%s", side ? side_word(from->side) : "", side ? " " : "",
                  letter, from->number,
                  count > 1 ? format(lay->arena, "..%c%d", letter, to->number) : "");
}

static const char *next_pulled(const struct laying *lay, const struct end *end, size_t from) {
    for (size_t i = from; i < end->passes.count; i++)
        if (end->passes.at[i].pulled) return strand_name_of(lay, end->passes.at[i].strand);
    return NULL;
}

static void find_unpulled(struct laying *lay, const struct end *end) {
    for (size_t i = 0, count; i < end->passes.count; i += count) {
        count = 1;
        if (end->passes.at[i].pulled) continue;
        count = count_unpulled(end, i);
        lay->sound = false;
        const char *first = strand_name_of(lay, end->passes.at[i].strand);
        const char *last = strand_name_of(lay, end->passes.at[i + count - 1].strand);
        const char *later = next_pulled(lay, end, i + count);
        struct finding *finding =
            report_add(lay->report, RULE_never_pulled, end->passes.at[i].thread_span,
                       count == 1 ? "%s is threaded here and never pulled"
                                  : "%s to %s are threaded here and never pulled",
                       first, last);
        if (later == NULL)
            finding_help(lay->report, finding, "write later: %s pull %s", end_word(end->name),
                         run_words(lay, end, i, count));
        else
            finding_help(lay->report, finding, "write before %s is pulled: %s pull %s", later,
                         end_word(end->name), run_words(lay, end, i, count));
    }
}

/* Told once of an end, and not where the strand that waits is never pulled: that says it. */
static void find_overtaken(struct laying *lay, int e) {
    const struct end *end = &lay->pattern->ends[e];
    if (lay->overtakes[e] == 0) return;
    const struct pass *pass = &end->passes.at[lay->overtakes[e] - 1];
    const struct pass *before = &end->passes.at[lay->overtaken[e] - 1];
    if (!before->pulled) return;
    const char *name = strand_name_of(lay, before->strand);
    struct finding *finding =
        report_add(lay->report, RULE_pull_order, pass->pull_span,
                   "%s cannot be pulled before %s: the string runs through %s first",
                   strand_name_of(lay, pass->strand), name, name);
    finding_note(lay->report, finding, before->thread_span, "%s is threaded here", name);
    finding_help(lay->report, finding, "pull an end's strands in the order they are threaded");
}

void lay_acts(struct pattern *pattern, struct arena *arena, struct report *report) {
    struct laying lay = {.pattern = pattern, .arena = arena, .report = report, .sound = true};
    int strands = pattern->frame->strand_count;
    pattern->end_of = arena_many(arena, int, strands + 1);
    pattern->pass_of = arena_many(arena, int, strands + 1);
    pattern->named = arena_many(arena, bool, strands + 1);
    for (int i = 0; i < strands; i++)
        pattern->end_of[i] = NO_END;
    array_reserve(arena, &pattern->acts, 2 * strands + 6);
    for (size_t i = 0; i < pattern->legs.count; i++)
        lay_leg(&lay, &pattern->legs.at[i]);
    tell_doubled(&lay);
    for (int e = 0; e < pattern->end_count; e++) {
        find_unpulled(&lay, &pattern->ends[e]);
        find_overtaken(&lay, e);
    }
    pattern->laid = lay.sound && pattern->legs_sound;
}
