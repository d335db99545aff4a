/* Safe changes made in a text: each replaces its span, everything else stays as it is, byte for
 * byte. */
#include "report/report.h"

#include <stdlib.h>

static int by_place(const void *left, const void *right) {
    const struct fix *a = *(const struct fix *const *)left, *b = *(const struct fix *const *)right;
    if (a->span.start != b->span.start) return a->span.start < b->span.start ? -1 : 1;
    return a->span.end < b->span.end ? -1 : a->span.end > b->span.end;
}

static bool may_be_made(const struct finding *finding, const struct source *source) {
    const struct fix *fix = &finding->fix;
    return fix->text != NULL && fix->safe && finding->severity != SEVERITY_IGNORED &&
           fix->span.start >= source->base &&
           fix->span.end <= source->base + (uint32_t)source->length;
}

/* Counts the changes by their lines: no change adds or takes away a line's end. */
struct lines {
    const struct source *source;
    size_t at, line;
    uint32_t *changes;
};

static void count_change(struct lines *lines, size_t place) {
    for (; lines->at < place; lines->at++)
        lines->line += lines->source->bytes[lines->at] == '\n';
    lines->changes[lines->line]++;
}

size_t report_mend(const struct report *report, const struct source *source, uint32_t *changes,
                   struct output *out) {
    struct lines lines = {.source = source, .changes = changes};
    const struct fix **fixes =
        arena_many(report->arena, const struct fix *, report->findings.count + 1);
    size_t count = 0, made = 0;
    for (size_t i = 0; i < report->findings.count; i++)
        if (may_be_made(report->findings.at[i], source))
            fixes[count++] = &report->findings.at[i]->fix;
    qsort(fixes, count, sizeof *fixes, by_place);
    uint32_t at = source->base;
    for (size_t i = 0; i < count; i++) {
        const struct fix *fix = fixes[i];
        bool meets = fix->span.start < at || (made > 0 && fix->span.start == at);
        if (meets) continue; /* the next run makes it */
        put_bytes(out, source->bytes + (at - source->base), fix->span.start - at);
        put(out, fix->text);
        at = fix->span.end;
        count_change(&lines, fix->span.start - source->base);
        made++;
    }
    put_bytes(out, source->bytes + (at - source->base), source->base + source->length - at);
    return made;
}
