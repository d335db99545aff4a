/* From a bed to facts and tables. */
#include "emit/felt.h"

#include "ground/units.h"

#include <math.h>
#include <string.h>

const char felt_left_out[] =
    "what string loses over time, what knots give back, friction between strings and at the "
    "holes, crimp at the crossings, bending out of the plane of the strings: tension as it is "
    "measured is lower";

/* ---- figures in words ---- */

static enum unit unit_of(const struct bed *bed) { return pull_unit(bed->pattern, 0); }

static const char *tension_words(const struct bed *bed, double newton, struct arena *arena) {
    enum unit unit = unit_of(bed);
    return force_words(arena, newton, unit, unit == UNIT_KG ? 2 : 1);
}

static const char *bare(const struct bed *bed, double newton, struct arena *arena) {
    enum unit unit = unit_of(bed);
    return format_decimal(arena, newton / unit_factor(unit), unit == UNIT_KG ? 2 : 1);
}

const char *tension_range(const struct bed *bed, struct range range, struct arena *arena) {
    return format(arena, "%s (%s to %s)", tension_words(bed, range.nominal, arena),
                  bare(bed, range.least, arena), bare(bed, range.most, arena));
}

static const char *signed_words(double value, int decimals, struct arena *arena) {
    const char *words = format_decimal(arena, value, decimals);
    bool plus = value > 0 && strcmp(words, "0") != 0;
    return format(arena, "%s%s", plus ? "+" : "", strcmp(words, "-0") == 0 ? "0" : words);
}

const char *change_range(struct range range, struct arena *arena) {
    return format(arena, "%s mm (%s to %s)", signed_words(range.nominal, 2, arena),
                  signed_words(range.least, 2, arena), signed_words(range.most, 2, arena));
}

const char *moment_words(double moment, struct arena *arena) {
    return format(arena, "%s N m", format_decimal(arena, fabs(moment) / N_MM_PER_N_M, 1));
}

const char *moment_range(struct range range, struct arena *arena) {
    return format(arena, "%s (%s to %s)", moment_words(range.nominal, arena),
                  format_decimal(arena, range.least / N_MM_PER_N_M, 1),
                  format_decimal(arena, range.most / N_MM_PER_N_M, 1));
}

void json_range(struct json *j, const char *key, struct range range, double unit) {
    json_open(j, key);
    json_real(j, "value", range.nominal / unit);
    json_real(j, "least", range.least / unit);
    json_real(j, "most", range.most / unit);
    json_close(j);
}

const char *moment_change(const struct sweep *sweep, struct arena *arena) {
    struct range change = sweep->difference[FIGURE_MOMENT_PEAK];
    if (!sweep->differs[FIGURE_MOMENT_PEAK])
        return format(arena, "no clear difference (%s to %s N m)",
                      signed_words(change.least / N_MM_PER_N_M, 1, arena),
                      signed_words(change.most / N_MM_PER_N_M, 1, arena));
    bool less = change.most < 0;
    double from = fabs(less ? change.most : change.least),
           to = fabs(less ? change.least : change.most);
    return format(arena, "%s %s (%s to %s)", moment_words(change.nominal, arena),
                  less ? "less" : "more", format_decimal(arena, from / N_MM_PER_N_M, 1),
                  format_decimal(arena, to / N_MM_PER_N_M, 1));
}

const char *lead_words(const struct far_ahead *far, struct arena *arena) {
    const struct sweep *sweep = far->until_then;
    return format(
        arena, "by then the hoop has been bent by %s; in turn, %d ahead at the most, by %s: %s",
        moment_range(sweep->figures[0][FIGURE_MOMENT_PEAK], arena), LEAD_WORTH_TELLING,
        moment_range(sweep->figures[1][FIGURE_MOMENT_PEAK], arena), moment_change(sweep, arena));
}

const char *node_words(const struct bed *bed, int node, struct arena *arena) {
    enum place middle = middle_at_node(bed, node);
    if (middle != PLACE_UNSAID) return format(arena, "middle of the %s", place_word(middle));
    return bed->pattern->frame->holes[hole_by_node(bed, node)].name;
}

const char *node_id(const struct bed *bed, int node) {
    enum place middle = middle_at_node(bed, node);
    if (middle != PLACE_UNSAID) return middle == PLACE_HEAD ? "0H" : "0T";
    return bed->pattern->frame->holes[hole_by_node(bed, node)].id;
}

const char *support_words(const struct support *support, struct arena *arena) {
    return format(arena, "%s %s", support->side == SUPPORT_INSIDE ? "inside" : "outside",
                  format_decimal(arena, support->clock, 2));
}

int step_of_event(const struct bed *bed, const struct sheet *sheet, int event) {
    return event == NO_EVENT ? 0 : step_of_move(sheet, bed->job.events[event].move);
}

/* ---- facts ---- */

struct felt_maker {
    const struct bed *bed;
    struct arena *arena;
    const struct sheet *sheet;
    struct felt *felt;
};

static void add_fact(struct felt_maker *m, const char *name, const char *text) {
    *array_add(m->arena, &m->felt->facts) = (struct felt_fact){name, text};
}

static const char *facts_words(const struct bed *bed, bool assumed, struct arena *arena) {
    struct output out = output_to(arena);
    for (size_t i = 0; i < bed->facts.count; i++)
        if (bed->facts.at[i].assumed == assumed)
            put_format(&out, "%s%s", out.length > 0 ? "; " : "", bed->facts.at[i].words);
    return output_text(&out);
}

const char *varied_words(struct known_values known, int sets, struct arena *arena) {
    struct output out = output_to(arena);
    if (known.hoop)
        put_format(&out, "squeeze%s 5 %% less to 5 %% more than measured, ",
                   known.throat ? ", wide and long," : "");
    else
        put(&out, "hoop half to twice as stiff, ");
    if (!known.throat) put(&out, "throat 1 to 4 times as stiff as the rest, ");
    if (!known.string) put(&out, "string 0.7 to 2 times as stiff, ");
    if (known.mount != MOUNT_KNOWN) put(&out, "mount a quarter to five times as stiff, ");
    if (known.mount == MOUNT_NOT_KNOWN) put(&out, "or held at 12 and 6 alone, ");
    put_format(&out, "each with each: %d sets of values", sets);
    return output_text(&out);
}

/* Strands that end above the range, which is for pulls. */
static void add_range_fact(struct felt_maker *m) {
    const struct frame *frame = m->bed->pattern->frame;
    int above = 0;
    for (int s = 0; s < frame->strand_count; s++)
        above += m->bed->outcome->off_machine.tensions[s] > frame->most_tension + NO_DIFFERENCE_N;
    if (frame->most_tension <= 0 || above == 0) return;
    add_fact(m, "Range",
             format(m->arena,
                    "the range printed on the frame is for pulls; at these values %d %s above it "
                    "off the machine",
                    above, above == 1 ? "strand is" : "strands are"));
}

/* A mount that holds nothing. */
static void add_mount_fact(struct felt_maker *m) {
    if (m->bed->values.mount.count == 0 || m->bed->outcome->force.value >= 1) return;
    add_fact(m, "Mount", "none of its places is ever pressed: the frame moves as if it were free");
}

static void add_facts(struct felt_maker *m) {
    const struct bed *bed = m->bed;
    add_fact(m, "Pattern",
             format(m->arena, "%s%s", m->sheet->pattern,
                    bed->pattern->mirrored ? "; its sides exchanged, left for right" : ""));
    const char *given = facts_words(bed, false, m->arena);
    if (given[0] != '\0') add_fact(m, "Given", given);
    const char *assumed = facts_words(bed, true, m->arena);
    if (assumed[0] != '\0') add_fact(m, "Assumed", assumed);
    add_fact(m, "In brackets",
             format(m->arena, "the least and the most over what is not known: %s",
                    varied_words(bed->known, bed->sweep->sets, m->arena)));
    add_fact(m, "Left out", felt_left_out);
    add_range_fact(m);
    add_mount_fact(m);
}

/* One side far ahead: what the farthest costs, and whether that is sure. */
static void add_lead_facts(struct felt_maker *m) {
    const struct bed *bed = m->bed;
    for (size_t i = 0; i < bed->far_ahead.count; i++) {
        const struct far_ahead *far = &bed->far_ahead.at[i];
        const struct strand *strand =
            &bed->pattern->frame->strands[bed->job.events[far->event].strand];
        add_fact(m, "Far ahead",
                 format(m->arena, "step %d: with %s its side is %d mains ahead; %s",
                        step_of_event(bed, m->sheet, far->event), strand->name, far->lead,
                        lead_words(far, m->arena)));
    }
    if (bed->far_ahead.count == 0) return;
    add_fact(m, "In turn",
             format(m->arena, "what that does to the most it is bent by, over the whole job: %s",
                    moment_change(bed->sweep, m->arena)));
}

/* ---- tables ---- */

static struct felt_table *add_table(struct felt_maker *m, const char *title) {
    struct felt_table *table = array_add(m->arena, &m->felt->tables);
    *table = (struct felt_table){.title = title};
    return table;
}

static void add_column(struct felt_table *table, int width, const char *head) {
    table->widths[table->columns] = width;
    table->heads[table->columns++] = head;
}

static struct felt_row *add_row(struct felt_maker *m, struct felt_table *table, const char *name) {
    struct felt_row *row = array_add(m->arena, &table->rows);
    for (int i = 0; i < FELT_COLUMNS; i++)
        row->cells[i] = "";
    row->cells[0] = name;
    return row;
}

static const enum kind kinds[] = {MAIN, CROSS};

static const char *pulls_mean(const struct felt_maker *m, enum kind kind) {
    const struct frame *frame = m->bed->pattern->frame;
    double *pulls = arena_many(m->arena, double, frame->strand_count + 1);
    for (int i = 0; i < m->bed->job.count; i++)
        if (m->bed->job.events[i].kind == EVENT_PULL)
            pulls[m->bed->job.events[i].strand] = m->bed->job.events[i].amount;
    return tension_words(m->bed, evenness_of(frame, kind, pulls, NULL).mean, m->arena);
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
    struct felt_table *table = add_table(m, "Tension");
    add_column(table, 26, "");
    add_column(table, 27, "mains");
    add_column(table, 27, "crosses");
    struct felt_row *row = add_row(m, table, "pulled with, mean");
    for (int k = 0; k < 2; k++)
        row->cells[k + 1] = pulls_mean(m, kinds[k]);
    for (int off = 0; off < 2; off++)
        for (int part = 0; part < EVENNESS_PARTS; part++) {
            const char *name = format(m->arena, "%s%s",
                                      off ? "off the machine, " : "on the machine, ", parts[part]);
            row = add_row(m, table, name);
            for (int k = 0; k < 2; k++)
                row->cells[k + 1] = tension_range(
                    m->bed,
                    m->bed->sweep
                        ->figures[0][evenness_figure(kinds[k], off == 1, (enum evenness_part)part)],
                    m->arena);
            if (part != EVENNESS_LEAST && part != EVENNESS_MOST) continue;
            row = add_row(m, table, "  which is");
            for (int k = 0; k < 2; k++)
                row->cells[k + 1] = extreme_strand(m, kinds[k], off == 1, part == EVENNESS_MOST);
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
    struct felt_row *row = add_row(m, table, name);
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
    struct felt_table *table = add_table(m, "Hoop");
    add_column(table, 25, "");
    add_column(table, 27, "");
    add_column(table, 28, "when, where");
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
        add_table(m, "Supports at the values given or assumed, without ranges, N");
    add_column(table, 26, "side, on the clock");
    add_column(table, 12, "most");
    add_column(table, 12, "at step");
    add_column(table, 24, "after the last pull");
    for (int i = 0; i < bed->values.mount.count; i++) {
        int most = NO_EVENT;
        for (int e = 0; e < o->event_count; e++)
            if (most == NO_EVENT || o->after[e].forces[i] > o->after[most].forces[i]) most = e;
        struct felt_row *row = add_row(m, table, support_words(&bed->values.mount.at[i], m->arena));
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
    struct felt_table *table = add_table(m, "Strands");
    add_column(table, 11, "");
    add_column(table, 11, "pulled");
    add_column(table, 29, "on the machine");
    add_column(table, 29, "off it");
    for (int s = 0; s < frame->strand_count; s++) {
        struct felt_row *row = add_row(m, table, frame->strands[s].name);
        double pull = 0;
        for (int i = 0; i < bed->job.count; i++)
            if (bed->job.events[i].strand == s && bed->job.events[i].kind == EVENT_PULL)
                pull = bed->job.events[i].amount;
        row->cells[1] = tension_words(bed, pull, m->arena);
        row->cells[2] = tension_range(bed, bed->sweep->on_machine[0][s], m->arena);
        row->cells[3] = tension_range(bed, bed->sweep->off_machine[0][s], m->arena);
    }
}

/* ---- even pulls ---- */

static double deviation_of(const struct bed_evenness *evenness, bool mains) {
    return mains ? evenness->mains.deviation : evenness->crosses.deviation;
}

static void add_even_facts(struct felt_maker *m) {
    const struct bed *bed = m->bed;
    const struct even *even = bed->even;
    enum unit unit = unit_of(bed);
    double step = tension_step(bed->pattern, unit);
    const char *steps = force_words(m->arena, step, unit, 2);
    if (even->result == EVEN_IMPOSSIBLE) {
        add_fact(m, "Even", "no pulls make them even: some strand would have to push");
        return;
    }
    for (int k = 0; k < 2; k++) {
        bool mains = kinds[k] == MAIN;
        add_fact(
            m, "Even",
            format(m->arena,
                   "%s off the machine, at the values given or assumed: unlike by %s as asked, "
                   "by %s with even pulls, by %s with those in steps of %s",
                   mains ? "mains" : "crosses",
                   tension_words(bed, deviation_of(&even->before, mains), m->arena),
                   tension_words(bed, deviation_of(&even->after, mains), m->arena),
                   tension_words(bed, deviation_of(&even->after_rounding, mains), m->arena),
                   steps));
    }
    if (even->result == EVEN_DID_NOT_SETTLE)
        add_fact(m, "Even", "which supports are in touch went on changing: the best there was");
    if (even->limited > 0)
        add_fact(
            m, "Even",
            format(m->arena,
                   "%d %s would leave the range printed on the frame and %s set to its end, so "
                   "that the bed is less even, and the mean pull not what it was",
                   even->limited, even->limited == 1 ? "pull" : "pulls",
                   even->limited == 1 ? "is" : "are"));
}

/* What even pulls change, for better and for worse. */
static void add_even_spread(struct felt_maker *m) {
    const struct bed *bed = m->bed;
    const struct {
        const char *name;
        int figure;
    } rows[] = {{"mains", evenness_figure(MAIN, true, EVENNESS_MEAN)},
                {"  unlike by", evenness_figure(MAIN, true, EVENNESS_DEVIATION)},
                {"crosses", evenness_figure(CROSS, true, EVENNESS_MEAN)},
                {"  unlike by", evenness_figure(CROSS, true, EVENNESS_DEVIATION)},
                {"bending", FIGURE_MOMENT_PEAK}};
    struct felt_table *table = add_table(m, "Even pulls as they are set");
    add_column(table, 12, "");
    add_column(table, 23, "as asked");
    add_column(table, 23, "even");
    add_column(table, 22, "change");
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        const struct sweep *sweep = bed->even_sweep;
        int figure = rows[i].figure;
        bool moment = figure == FIGURE_MOMENT_PEAK;
        struct felt_row *row = add_row(m, table, rows[i].name);
        for (int k = 0; k < 2; k++)
            row->cells[k + 1] = moment ? moment_range(sweep->figures[k][figure], m->arena)
                                       : tension_range(bed, sweep->figures[k][figure], m->arena);
        row->cells[3] = !sweep->differs[figure] ? "no clear difference"
                        : moment                ? moment_change(sweep, m->arena)
                                 : tension_range(bed, sweep->difference[figure], m->arena);
    }
}

static void add_even_table(struct felt_maker *m) {
    const struct bed *bed = m->bed;
    const struct frame *frame = bed->pattern->frame;
    struct felt_table *table = add_table(m, "Even pulls");
    add_column(table, 11, "");
    add_column(table, 16, "asked");
    add_column(table, 16, "even");
    add_column(table, 16, "to be set");
    for (int s = 0; s < frame->strand_count; s++) {
        struct felt_row *row = add_row(m, table, frame->strands[s].name);
        row->cells[1] = tension_words(bed, bed->pattern->tensions[s].pull, m->arena);
        row->cells[2] = tension_words(bed, bed->even->exact[s], m->arena);
        row->cells[3] = force_words(m->arena, bed->even->rounded[s], unit_of(bed), 2);
    }
}

/* Whether a strand has the pull of the one before it in a run of a tension line. */
static bool goes_on(const struct bed *bed, int before, int strand) {
    return strand != NO_STRAND &&
           fabs(bed->even->rounded[before] - bed->even->rounded[strand]) < 1e-6;
}

static void put_run(struct felt_maker *m, struct output *out, const char *side, int first,
                    int last) {
    const struct strand *strands = m->bed->pattern->frame->strands;
    put_format(out, "%s%s%s%d", out->length > 0 ? ", " : "", side,
               strands[first].kind == MAIN ? "M" : "C", strands[first].number);
    if (last != first)
        put_format(out, "..%s%d", strands[first].kind == MAIN ? "M" : "C", strands[last].number);
    put_format(out, " %s", force_words(m->arena, m->bed->even->rounded[first], unit_of(m->bed), 2));
}

/* Strands of one side in the order of their numbers, in runs of one pull. */
static void put_runs(struct felt_maker *m, struct output *out, enum kind kind, enum side side,
                     const char *word) {
    const struct frame *frame = m->bed->pattern->frame;
    int first = NO_STRAND, last = NO_STRAND;
    for (int number = 1;; number++) {
        int strand = frame_strand(frame, kind, side, number);
        if (first != NO_STRAND && !goes_on(m->bed, first, strand)) {
            put_run(m, out, word, first, last);
            first = NO_STRAND;
        }
        if (strand == NO_STRAND) return;
        if (first == NO_STRAND) first = strand;
        last = strand;
    }
}

/* As a line of the pattern, in the place of its own tension. */
static const char *even_line(struct felt_maker *m) {
    const struct frame *frame = m->bed->pattern->frame;
    struct output out = output_to(m->arena);
    int centre = frame_strand(frame, MAIN, SIDE_CENTRE, 0);
    if (centre != NO_STRAND) put_run(m, &out, "", centre, centre);
    put_runs(m, &out, MAIN, SIDE_LEFT, "left ");
    put_runs(m, &out, MAIN, SIDE_RIGHT, "right ");
    put_runs(m, &out, CROSS, SIDE_CENTRE, "");
    return format(m->arena, "tension %s", output_text(&out));
}

static void add_even(struct felt_maker *m) {
    if (m->bed->even == NULL) return;
    add_even_facts(m);
    if (m->bed->even->result == EVEN_IMPOSSIBLE) return;
    add_even_spread(m);
    add_even_table(m);
    m->felt->line = even_line(m);
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
    add_even(&m);
    add_strand_table(&m);
    return felt;
}
