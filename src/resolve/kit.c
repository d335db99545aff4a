/* Strings and benches from their blocks. */
#include "resolve/library.h"
#include "resolve/values.h"

#include "ground/limits.h"
#include "ground/nearest.h"

#include <string.h>

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
        case LINE_STIFFNESS:
            take_value(report, line->as.number, DIMENSION_FORCE, "the stiffness of the string",
                       LEAST_STIFFNESS, MOST_STIFFNESS, &string->stiffness);
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

/* ---- the mount ---- */

static const double LEAST_MOUNT = 50, MOST_MOUNT = 50000; /* N/mm of a point */

/* The kind of a name; where nothing is known of it the mount is as good as unsaid. */
static enum mount_kind take_mount_name(struct report *report, struct tree_name name) {
    static const enum mount_kind kinds[] = {MOUNT_SIX_POINT, MOUNT_TWO_POINT};
    enum { COUNT = sizeof kinds / sizeof *kinds };
    const char *words[COUNT];
    for (size_t i = 0; i < COUNT; i++) {
        words[i] = mount_word(kinds[i]);
        if (strcmp(words[i], name.text) == 0) return kinds[i];
    }
    struct finding *finding;
    if (strcmp(name.text, "inside") == 0 || strcmp(name.text, "outside") == 0) {
        finding =
            report_add(report, RULE_syntax, name.span,
                       "after `%s` comes where on the clock face the machine bears", name.text);
        finding_help(report, finding, "write it so: mount inside 12, 6, outside 2, 4, 8, 10");
        return MOUNT_UNKNOWN;
    }
    finding = report_add(report, RULE_mount_unknown, name.span,
                         "where a mount called %s bears on the hoop is not known", name.text);
    const char *nearest = nearest_of(name.text, words, COUNT);
    if (nearest != NULL) {
        finding_help(report, finding, "did you mean %s?", nearest);
        finding_fix(report, finding, false, name.span, "%s", nearest);
    } else {
        finding_help(report, finding,
                     "known are six-point and two-point; of any other say where it bears: "
                     "mount inside 12, 6, outside 2, 10");
    }
    return MOUNT_UNKNOWN;
}

static void judge_clock(struct report *report, struct tree_number clock, bool last) {
    if (clock.value > 0 && clock.value <= 12) return;
    const char *digits = format_decimal(report->arena, clock.value, 6);
    struct finding *finding =
        report_add(report, RULE_number_range, clock.span, "%s is no place on a clock face", digits);
    if (clock.value > 12 && clock.value < 13) {
        const char *meant = format_decimal(report->arena, clock.value - 12, 6);
        finding_help(report, finding, "write %s if that is meant", meant);
        finding_fix(report, finding, false, clock.span, "%s", meant);
    } else if (last && clock.value >= LEAST_MOUNT && clock.value <= MOST_MOUNT) {
        finding_help(report, finding, "write %s N per mm if the stiffness is meant", digits);
        finding_fix(report, finding, false, clock.span, "%s N per mm", digits);
    } else {
        finding_help(report, finding,
                     "12 is the head, 6 the throat, 1.5 half past one, and nothing is beyond 12");
    }
}

/* The same place from the same side, said before. */
static void judge_twice(struct report *report, const struct tree_bears *first, int count,
                        const struct mount_point *points) {
    const struct mount_point *last = &points[count - 1];
    const struct tree_bears *before = NULL, *at = first;
    for (int i = 0; i + 1 < count; i++, at = at->next)
        if (points[i].inside == last->inside && points[i].clock == last->clock && before == NULL)
            before = at;
    if (before == NULL) return;
    struct finding *finding = report_add(
        report, RULE_line_twice, at->clock.span, "the mount bears at %s from the %s already",
        format_decimal(report->arena, last->clock, 6), last->inside ? "inside" : "outside");
    finding_note(report, finding, before->clock.span, "it is first said here");
}

/* Points of one's own. They are the machine's, which stays as it is where sides are exchanged. */
static void take_points(struct library *library, struct bench *bench,
                        const struct tree_bears *first) {
    struct report *report = library->report;
    int count = 0;
    for (const struct tree_bears *at = first; at != NULL; at = at->next)
        count++;
    if (count > LIMIT_MOUNT_POINTS) {
        report_add(report, RULE_too_many, first->span,
                   "%d places where a mount bears; %d are the most", count, LIMIT_MOUNT_POINTS);
        return;
    }
    struct mount_point *points = arena_many(library->arena, struct mount_point, count);
    struct output words = output_to(library->arena);
    bool inside = false;
    count = 0;
    for (const struct tree_bears *at = first; at != NULL; at = at->next) {
        if (at->bearing != BEARS_ALIKE) inside = at->bearing == BEARS_INSIDE;
        judge_clock(report, at->clock, at->next == NULL);
        points[count++] = (struct mount_point){at->clock.value, inside};
        judge_twice(report, first, count, points);
        bool turns = count == 1 || points[count - 2].inside != inside;
        put_format(&words, "%s%s%s", count > 1 ? ", " : "",
                   !turns   ? ""
                   : inside ? "inside "
                            : "outside ",
                   format_decimal(library->arena, at->clock.value, 6));
    }
    bench->mount = output_text(&words);
    bench->bearing = (struct mount){.kind = MOUNT_OWN, .points = points, .point_count = count};
}

static void take_mount(struct library *library, struct bench *bench, const struct tree_line *line) {
    struct tree_number stiffness = line->as.mount.stiffness;
    if (line->as.mount.bears != NULL) {
        take_points(library, bench, line->as.mount.bears);
    } else {
        bench->mount = line->as.mount.name.text;
        bench->bearing = mount_of(take_mount_name(library->report, line->as.mount.name));
    }
    bench->bearing.span = line->span;
    if (span_given(stiffness.span))
        take_value(library->report, stiffness, DIMENSION_STIFFNESS, "the stiffness of the mount",
                   LEAST_MOUNT, MOST_MOUNT, &bench->bearing.stiffness);
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
        case LINE_MOUNT: take_mount(library, bench, line); break;
        case LINE_DRAW_BACK:
            bench->draw_back_given = take_value(report, line->as.number, DIMENSION_LENGTH,
                                                "the draw-back", 0, 3, &bench->draw_back);
            break;
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
