/* What the step list shows of the bed: pulls that bend the hoop more than any before them, and
 * those of a side that is far ahead. */
#include "emit/felt.h"

static struct sheet_row *row_of_event(struct sheet *sheet, const struct bed *bed, int event) {
    int step = step_of_event(bed, sheet, event);
    return step > 0 ? &sheet->rows.at[step - 1] : NULL;
}

static void add_note(struct sheet_row *row, const char *note, struct arena *arena) {
    row->notes = row->notes[0] == '\0' ? note : format(arena, "%s; %s", row->notes, note);
}

static void mark_peaks(struct sheet *sheet, const struct bed *bed, struct arena *arena) {
    for (int i = 0; i < bed->job.count; i++) {
        if (bed->job.events[i].kind != EVENT_PULL || !is_new_peak(bed, i)) continue;
        struct sheet_row *row = row_of_event(sheet, bed, i);
        if (row != NULL) row->load = moment_words(bed->outcome->after[i].moment, arena);
    }
}

static void mark_leads(struct sheet *sheet, const struct bed *bed, struct arena *arena) {
    for (size_t i = 0; i < bed->far_ahead.count; i++) {
        const struct far_ahead *far = &bed->far_ahead.at[i];
        struct sheet_row *row = row_of_event(sheet, bed, far->event);
        if (row == NULL) continue;
        add_note(row, format(arena, "%d ahead: %s", far->lead, lead_words(far, arena)), arena);
    }
}

/* Whether it matters, and how sure that is. */
static const char *load_fact(const struct sheet *sheet, const struct bed *bed,
                             struct arena *arena) {
    struct output out = output_to(arena);
    put_format(&out,
               "^ bends the hoop more than any pull before; on the machine at the most by %s, "
               "step %d",
               moment_range(bed->sweep->figures[0][FIGURE_MOMENT_PEAK], arena),
               step_of_event(bed, sheet, bed->outcome->moment.event));
    if (bed->far_ahead.count > 0)
        put_format(&out, "; in turn, %d ahead at the most: %s", LEAD_WORTH_TELLING,
                   moment_change(bed->sweep, arena));
    put_format(&out, "; in brackets over %d sets of what is not known, see selvage bed",
               bed->sweep->sets);
    return output_text(&out);
}

void mark_loads(struct sheet *sheet, const struct bed *bed, struct arena *arena) {
    mark_peaks(sheet, bed, arena);
    mark_leads(sheet, bed, arena);
    *array_add(arena, &sheet->facts) = (struct sheet_fact){
        .about = ABOUT_LOAD, .name = "Load", .text = load_fact(sheet, bed, arena)};
}
