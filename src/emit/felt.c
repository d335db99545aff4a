/* From a bed to facts and tables. */
#include "emit/feltmaker.h"

/* ---- facts ---- */

void add_felt_fact(struct felt_maker *m, const char *name, const char *text) {
    *array_add(m->arena, &m->felt->facts) = (struct felt_fact){name, text};
}

/* Strands that end above the range, which is for pulls. */
static void add_range_fact(struct felt_maker *m) {
    const struct frame *frame = m->bed->pattern->frame;
    int above = 0;
    for (int s = 0; s < frame->strand_count; s++)
        above += m->bed->outcome->off_machine.tensions[s] > frame->most_tension + NO_DIFFERENCE_N;
    if (frame->most_tension <= 0 || above == 0) return;
    add_felt_fact(
        m, "Range",
        format(m->arena,
               "the range printed on the frame is for pulls; at these values %d %s above it "
               "off the machine",
               above, above == 1 ? "strand is" : "strands are"));
}

/* A strand never pushes: where it would have to, it has no tension. */
static void add_slack_fact(struct felt_maker *m) {
    int most = m->bed->outcome->most_slack, off = m->bed->outcome->off_machine.slack;
    if (most == 0 && off == 0) return;
    add_felt_fact(m, "Slack",
                  format(m->arena,
                         "strands without any tension, at these values: %d at one time on the "
                         "machine, %d off it",
                         most, off));
}

/* A mount that holds nothing. */
static void add_mount_fact(struct felt_maker *m) {
    if (m->bed->values.mount.count == 0 || m->bed->outcome->force.value >= 1) return;
    add_felt_fact(m, "Mount",
                  "none of its places is ever pressed: the frame moves as if it were free");
}

static void add_facts(struct felt_maker *m) {
    const struct bed *bed = m->bed;
    add_felt_fact(m, "Pattern",
                  format(m->arena, "%s%s", m->sheet->pattern,
                         bed->pattern->mirrored ? "; its sides exchanged, left for right" : ""));
    const char *given = facts_words(bed, false, m->arena);
    if (given[0] != '\0') add_felt_fact(m, "Given", given);
    const char *assumed = facts_words(bed, true, m->arena);
    if (assumed[0] != '\0') add_felt_fact(m, "Assumed", assumed);
    add_felt_fact(m, "In brackets",
                  format(m->arena, "the least and the most over what is not known: %s",
                         varied_words(bed->known, bed->sweep->sets, m->arena)));
    add_felt_fact(m, "Left out", felt_left_out);
    add_range_fact(m);
    add_mount_fact(m);
    add_slack_fact(m);
}

/* One side far ahead: what the farthest costs, and whether that is sure. */
static void add_lead_facts(struct felt_maker *m) {
    const struct bed *bed = m->bed;
    for (size_t i = 0; i < bed->far_ahead.count; i++) {
        const struct far_ahead *far = &bed->far_ahead.at[i];
        const struct strand *strand =
            &bed->pattern->frame->strands[bed->job.events[far->event].strand];
        add_felt_fact(m, "Far ahead",
                      format(m->arena, "step %d: with %s its side is %d mains ahead; %s",
                             step_of_event(bed, m->sheet, far->event), strand->name, far->lead,
                             lead_words(far, m->arena)));
    }
    if (bed->far_ahead.count == 0) return;
    add_felt_fact(m, "In turn",
                  format(m->arena,
                         "what that does to the most it is bent by, over the whole job: %s",
                         moment_change(bed->sweep, m->arena)));
}

/* ---- tables ---- */

struct felt_table *add_felt_table(struct felt_maker *m, const char *title) {
    struct felt_table *table = array_add(m->arena, &m->felt->tables);
    *table = (struct felt_table){.title = title};
    return table;
}

void add_felt_column(struct felt_table *table, int width, const char *head) {
    table->widths[table->columns] = width;
    table->heads[table->columns++] = head;
}

struct felt_row *add_felt_row(struct felt_maker *m, struct felt_table *table, const char *name) {
    struct felt_row *row = array_add(m->arena, &table->rows);
    for (int i = 0; i < FELT_COLUMNS; i++)
        row->cells[i] = "";
    row->cells[0] = name;
    return row;
}

static const char *pulls_mean(const struct felt_maker *m, enum kind kind) {
    const struct frame *frame = m->bed->pattern->frame;
    double *pulls = arena_many(m->arena, double, frame->strand_count + 1);
    for (int i = 0; i < m->bed->job.count; i++)
        if (m->bed->job.events[i].kind == EVENT_PULL)
            pulls[m->bed->job.events[i].strand] = m->bed->job.events[i].amount;
    return felt_tension(m->bed, evenness_of(frame, kind, pulls, NULL).mean, m->arena);
}

/* The strand of a kind with the least or the most tension. */
static const char *extreme_strand(const struct felt_maker *m, enum kind kind, bool off, bool most) {
    const struct frame *frame = m->bed->pattern->frame;
    const struct outcome *o = m->bed->outcome;
    const double *tensions = off ? o->off_machine.tensions : o->on_machine.tensions;
    int found = NO_STRAND;
    for (int s = 0; s < frame->strand_count; s++) {
        if (frame->strands[s].kind != kind) continue;
        bool beyond = found == NO_STRAND ||
                      (most ? tensions[s] > tensions[found] : tensions[s] < tensions[found]);
        if (beyond) found = s;
    }
    return found == NO_STRAND ? "" : frame->strands[found].name;
}

static void add_tension_table(struct felt_maker *m) {
    static const char *const parts[] = {"mean", "unlike by", "least", "most"};
    struct felt_table *table = add_felt_table(m, "Tension");
    add_felt_column(table, 26, "");
    add_felt_column(table, 27, "mains");
    add_felt_column(table, 27, "crosses");
    struct felt_row *row = add_felt_row(m, table, "pulled with, mean");
    for (int k = 0; k < 2; k++)
        row->cells[k + 1] = pulls_mean(m, felt_kinds[k]);
    for (int off = 0; off < 2; off++)
        for (int part = 0; part < EVENNESS_PARTS; part++) {
            const char *name = format(m->arena, "%s%s",
                                      off ? "off the machine, " : "on the machine, ", parts[part]);
            row = add_felt_row(m, table, name);
            for (int k = 0; k < 2; k++)
                row->cells[k + 1] =
                    tension_range(m->bed,
                                  m->bed->sweep->figures[0][evenness_figure(
                                      felt_kinds[k], off == 1, (enum evenness_part)part)],
                                  m->arena);
            if (part != EVENNESS_LEAST && part != EVENNESS_MOST) continue;
            row = add_felt_row(m, table, "  which is");
            for (int k = 0; k < 2; k++)
                row->cells[k + 1] =
                    extreme_strand(m, felt_kinds[k], off == 1, part == EVENNESS_MOST);
        }
}

static const char *when_words(const struct felt_maker *m, const struct peak *peak) {
    if (peak->event == NO_EVENT) return "";
    const struct event *event = &m->bed->job.events[peak->event];
    return format(m->arena, "step %d, %s", step_of_event(m->bed, m->sheet, peak->event),
                  m->bed->pattern->frame->strands[event->strand].name);
}

static void add_hoop_row(struct felt_maker *m, struct felt_table *table, const char *name,
                         const char *value, const char *when) {
    struct felt_row *row = add_felt_row(m, table, name);
    row->cells[1] = value;
    row->cells[2] = when;
}

static const char *force_where(const struct felt_maker *m) {
    const struct peak *force = &m->bed->outcome->force;
    if (force->event == NO_EVENT) return "";
    return format(m->arena, "step %d, %s", step_of_event(m->bed, m->sheet, force->event),
                  support_words(&m->bed->values.mount.at[force->node], m->arena));
}

static void add_hoop_table(struct felt_maker *m) {
    const struct outcome *o = m->bed->outcome;
    const struct range *figures = m->bed->sweep->figures[0];
    struct felt_table *table = add_felt_table(m, "Hoop");
    add_felt_column(table, 25, "");
    add_felt_column(table, 27, "");
    add_felt_column(table, 28, "when, where");
    static const struct {
        const char *name;
        enum figure figure;
    } changes[] = {{"width, widest", FIGURE_WIDEST},    {"  narrowest", FIGURE_NARROWEST},
                   {"  off the machine", FIGURE_WIDTH}, {"length, longest", FIGURE_LONGEST},
                   {"  shortest", FIGURE_SHORTEST},     {"  off the machine", FIGURE_LENGTH}};
    const struct peak *const peaks[] = {&o->widest,  &o->narrowest, NULL,
                                        &o->longest, &o->shortest,  NULL};
    for (size_t i = 0; i < sizeof changes / sizeof *changes; i++)
        add_hoop_row(m, table, changes[i].name, change_range(figures[changes[i].figure], m->arena),
                     peaks[i] != NULL ? when_words(m, peaks[i]) : "");
    add_hoop_row(m, table, "bending, on the machine",
                 moment_range(figures[FIGURE_MOMENT_PEAK], m->arena), when_words(m, &o->moment));
    add_hoop_row(m, table, "  most of all by", node_words(m->bed, o->moment.node, m->arena), "");
    add_hoop_row(m, table, "  off the machine", moment_range(figures[FIGURE_MOMENT], m->arena), "");
    add_hoop_row(m, table, "  most of all by",
                 node_words(m->bed, o->off_machine.moment_node, m->arena), "");
    struct range force = figures[FIGURE_FORCE];
    add_hoop_row(m, table, "force of a support",
                 format(m->arena, "%s N (%s to %s)", format_decimal(m->arena, force.nominal, 0),
                        format_decimal(m->arena, force.least, 0),
                        format_decimal(m->arena, force.most, 0)),
                 force_where(m));
}

static void add_support_table(struct felt_maker *m) {
    const struct bed *bed = m->bed;
    const struct outcome *o = bed->outcome;
    struct felt_table *table =
        add_felt_table(m, "Supports at the values given or assumed, without ranges, N");
    add_felt_column(table, 26, "side, on the clock");
    add_felt_column(table, 12, "most");
    add_felt_column(table, 12, "at step");
    add_felt_column(table, 24, "after the last pull");
    for (int i = 0; i < bed->values.mount.count; i++) {
        int most = NO_EVENT;
        for (int e = 0; e < o->event_count; e++)
            if (most == NO_EVENT || o->after[e].forces[i] > o->after[most].forces[i]) most = e;
        struct felt_row *row =
            add_felt_row(m, table, support_words(&bed->values.mount.at[i], m->arena));
        double force = most == NO_EVENT ? 0 : o->after[most].forces[i];
        row->cells[1] = format_decimal(m->arena, force, 0);
        if (force >= 0.5)
            row->cells[2] = format(m->arena, "%d", step_of_event(bed, m->sheet, most));
        row->cells[3] = format_decimal(m->arena, o->on_machine.forces[i], 0);
    }
}

static void add_strand_table(struct felt_maker *m) {
    const struct bed *bed = m->bed;
    const struct frame *frame = bed->pattern->frame;
    struct felt_table *table = add_felt_table(m, "Strands");
    add_felt_column(table, 11, "");
    add_felt_column(table, 11, "pulled");
    add_felt_column(table, 29, "on the machine");
    add_felt_column(table, 29, "off it");
    for (int s = 0; s < frame->strand_count; s++) {
        struct felt_row *row = add_felt_row(m, table, frame->strands[s].name);
        double pull = 0;
        for (int i = 0; i < bed->job.count; i++)
            if (bed->job.events[i].strand == s && bed->job.events[i].kind == EVENT_PULL)
                pull = bed->job.events[i].amount;
        row->cells[1] = felt_tension(bed, pull, m->arena);
        row->cells[2] = tension_range(bed, bed->sweep->on_machine[0][s], m->arena);
        row->cells[3] = tension_range(bed, bed->sweep->off_machine[0][s], m->arena);
    }
}

const struct felt *felt_of(const struct bed *bed, struct arena *arena) {
    struct felt *felt = arena_one(arena, struct felt);
    struct felt_maker m = {bed, arena, sheet_of(bed->pattern, arena), felt};
    felt->racket = m.sheet->racket;
    felt->pattern = m.sheet->pattern;
    array_reserve(arena, &felt->tables, 8);
    add_facts(&m);
    add_lead_facts(&m);
    add_tension_table(&m);
    add_hoop_table(&m);
    add_support_table(&m);
    if (bed->even != NULL) add_even_pulls(&m);
    add_strand_table(&m);
    return felt;
}
