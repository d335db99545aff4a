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

struct laying {
    struct pattern *pattern;
    struct arena *arena;
    struct report *report;
    bool sound;
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

static void thread_strand(struct laying *lay, const struct step *step) {
    struct pattern *pattern = lay->pattern;
    int *owner = &pattern->end_of[step->strand];
    if (*owner != NO_END) {
        const struct end *first = &pattern->ends[*owner];
        lay->sound = false;
        struct finding *finding =
            report_add(lay->report, RULE_strand_twice, step->span, "%s is strung twice",
                       strand_name_of(lay, step->strand));
        finding_note(lay->report, finding,
                     first->passes.at[pattern->pass_of[step->strand]].thread_span,
                     "first by the %s end, here", end_word(first->name));
        finding_help(lay->report, finding, "take it out of one of the two legs");
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
        if (step->run->verb != DO_PULL) return;
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
        if (step->run->verb != DO_PULL) return;
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
        const struct pass *before = &end->passes.at[waiting];
        lay->sound = false;
        struct finding *finding =
            report_add(lay->report, RULE_pull_order, step->span,
                       "%s cannot be pulled before %s: the string runs through %s first",
                       strand_name_of(lay, step->strand), strand_name_of(lay, before->strand),
                       strand_name_of(lay, before->strand));
        finding_note(lay->report, finding, before->thread_span, "%s is threaded here",
                     strand_name_of(lay, before->strand));
        finding_help(lay->report, finding, "pull an end's strands in the order they are threaded");
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
    if (end->passes.count > 0 || !lay->pattern->legs_sound) return;
    lay->sound = false;
    report_add(lay->report, RULE_end_idle, step->span,
               "the %s end is tied here, but has strung nothing", end_word(end->name));
}

static void do_step(struct laying *lay, struct step *step) {
    if (step->done) return;
    step->done = true;
    if (step->kind == ACT_THREAD || step->kind == ACT_PULL)
        lay->pattern->named[step->strand] = true;
    const struct end *end = &lay->pattern->ends[step->end];
    if (end->tie.given) {
        lay->sound = false;
        struct finding *finding = report_add(lay->report, RULE_after_tie, step->span,
                                             "the %s end is already tied off", end_word(end->name));
        finding_note(lay->report, finding, end->tie.span, "it is tied here");
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

static void find_unpulled(struct laying *lay) {
    for (int e = 0; e < lay->pattern->end_count; e++) {
        const struct end *end = &lay->pattern->ends[e];
        for (size_t i = 0; i < end->passes.count; i++) {
            if (end->passes.at[i].pulled) continue;
            lay->sound = false;
            struct finding *finding =
                report_add(lay->report, RULE_never_pulled, end->passes.at[i].thread_span,
                           "%s is threaded here and never pulled",
                           strand_name_of(lay, end->passes.at[i].strand));
            finding_help(lay->report, finding, "write later: %s pull %s", end_word(end->name),
                         strand_name_of(lay, end->passes.at[i].strand));
        }
    }
}

void lay_acts(struct pattern *pattern, struct arena *arena, struct report *report) {
    struct laying lay = {pattern, arena, report, true};
    int strands = pattern->frame->strand_count;
    pattern->end_of = arena_many(arena, int, strands + 1);
    pattern->pass_of = arena_many(arena, int, strands + 1);
    pattern->named = arena_many(arena, bool, strands + 1);
    for (int i = 0; i < strands; i++)
        pattern->end_of[i] = NO_END;
    array_reserve(arena, &pattern->acts, 2 * strands + 6);
    for (size_t i = 0; i < pattern->legs.count; i++)
        lay_leg(&lay, &pattern->legs.at[i]);
    find_unpulled(&lay);
    pattern->laid = lay.sound && pattern->legs_sound;
}
