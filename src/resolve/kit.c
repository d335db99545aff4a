/* Strings and benches from their blocks. */
#include "resolve/library.h"
#include "resolve/values.h"

#include "ground/limits.h"

void resolve_string(struct library *library, struct entry *entry) {
    struct report *report = library->report;
    const struct tree_definition *d = entry->definition;
    judge_lines(report, d, IN_STRING);
    struct string *string = entry->string = arena_one(library->arena, struct string);
    string->name = d->name.text;
    string->title = d->title.text;
    string->span = d->name.span;
    string->notes = collect_notes(library->arena, d->lines);
    for (const struct tree_line *line = d->lines; line != NULL; line = line->next) {
        switch (line->kind) {
        case LINE_GAUGE:
            take_value(report, line->as.number, DIMENSION_LENGTH, "the gauge", 0.3, 2.5,
                       &string->gauge);
            break;
        case LINE_MATERIAL:
            string->material = line->as.name.text;
            string->material_span = line->span;
            break;
        case LINE_DENSITY:
            take_value(report, line->as.number, DIMENSION_DENSITY, "the density", 0.5, 3,
                       &string->density);
            break;
        case LINE_STRETCH:
            if (!take_value(report, line->as.stretch.at, DIMENSION_FORCE, "the pull", 5, 500,
                            &string->stretch_at))
                break;
            take_value(report, line->as.stretch.percent, DIMENSION_PERCENT, "the stretch", 0, 40,
                       &string->stretch);
            break;
        case LINE_LENGTH:
            take_value(report, line->as.number, DIMENSION_LENGTH, "the length of the set or reel",
                       1000, 1000000, &string->length);
            break;
        default: break;
        }
    }
}

/* The seconds of each kind of move that the line names; the others stay as assumed. */
static void take_pace(struct report *report, struct bench *bench, const struct tree_line *line) {
    const struct tree_pace *first[PACES] = {NULL};
    for (const struct tree_pace *at = line->as.pace; at != NULL; at = at->next) {
        if (first[at->kind] != NULL) {
            struct finding *finding =
                report_add(report, RULE_line_twice, at->span, "the pace of `%s` is said twice",
                           pace_word(at->kind));
            finding_note(report, finding, first[at->kind]->span, "it is first said here");
            continue;
        }
        first[at->kind] = at;
        bench->pace_given[at->kind] =
            take_value(report, at->seconds, DIMENSION_TIME, "the time for one move", 0, 3600,
                       &bench->pace[at->kind]);
    }
}

void resolve_bench(struct library *library, struct entry *entry) {
    struct report *report = library->report;
    const struct tree_definition *d = entry->definition;
    judge_lines(report, d, IN_BENCH);
    struct bench *bench = entry->bench = arena_one(library->arena, struct bench);
    *bench = *library->assumed_bench;
    bench->name = d->name.text;
    bench->title = d->title.text;
    bench->span = d->name.span;
    bench->notes = collect_notes(library->arena, d->lines);
    for (const struct tree_line *line = d->lines; line != NULL; line = line->next) {
        switch (line->kind) {
        case LINE_CLAMPS:
            bench->clamps_given = true;
            bench->clamps[CLAMP_FIXED] = bench->clamps[CLAMP_STARTING] = 0;
            for (struct tree_clamps *c = line->as.clamps; c != NULL; c = c->next) {
                int count = 0;
                if (take_count(report, c->count, "the number of clamps", 0, LIMIT_CLAMPS, &count))
                    bench->clamps[c->kind] = count;
            }
            break;
        case LINE_REACH:
            bench->reach_given = take_value(report, line->as.number, DIMENSION_LENGTH,
                                            "the reach of the tensioner", 100, 2000, &bench->reach);
            break;
        case LINE_MOUNT: bench->mount = line->as.name.text; break;
        case LINE_STEP:
            take_value(report, line->as.number, DIMENSION_FORCE, "the step of the tensioner",
                       0.01 * NEWTON_PER_LB, 5 * NEWTON_PER_LB, &bench->step);
            bench->step_unit = line->as.number.unit;
            break;
        case LINE_PACE: take_pace(report, bench, line); break;
        default: break;
        }
    }
}
