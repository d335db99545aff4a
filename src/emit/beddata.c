/* What the frame feels for other programs: JSON (docs/bed.schema.json) and CSV (RFC 4180). */
#include "emit/bed.h"

#include "emit/felt.h"
#include "ground/json.h"

/* ---- JSON ---- */

static void json_facts(struct json *j, const struct bed *bed) {
    json_open_rows(j, "values");
    for (size_t i = 0; i < bed->facts.count; i++) {
        json_open_row(j);
        json_string(j, "what", bed->facts.at[i].what);
        json_string(j, "words", bed->facts.at[i].words);
        json_bool(j, "assumed", bed->facts.at[i].assumed);
        json_close(j);
    }
    json_close_rows(j);
}

static void json_evenness(struct json *j, const struct bed *bed, bool off) {
    static const char *const keys[] = {"mean", "deviation", "least", "most"};
    json_open(j, off ? "off_machine" : "on_machine");
    for (int k = 0; k < 2; k++) {
        enum kind kind = k == 0 ? MAIN : CROSS;
        json_open(j, k == 0 ? "mains" : "crosses");
        for (int part = 0; part < EVENNESS_PARTS; part++)
            json_range(j, keys[part],
                       bed->sweep->figures[0][evenness_figure(kind, off, (enum evenness_part)part)],
                       1);
        json_close(j);
    }
    const struct range *figures = bed->sweep->figures[0];
    if (off) json_range(j, "width", figures[FIGURE_WIDTH], 1);
    if (off) json_range(j, "length", figures[FIGURE_LENGTH], 1);
    if (off) json_range(j, "moment", figures[FIGURE_MOMENT], N_MM_PER_N_M);
    json_close(j);
}

static void json_peak(struct json *j, const struct bed *bed, const struct sheet *sheet,
                      const char *key, enum figure figure, const struct peak *peak, double unit) {
    const struct range range = bed->sweep->figures[0][figure];
    json_open(j, key);
    json_real(j, "value", range.nominal / unit);
    json_real(j, "least", range.least / unit);
    json_real(j, "most", range.most / unit);
    if (peak->event != NO_EVENT) {
        json_int(j, "step", step_of_event(bed, sheet, peak->event));
        json_string(j, "strand",
                    bed->pattern->frame->strands[bed->job.events[peak->event].strand].id);
    }
    json_close(j);
}

static void json_peaks(struct json *j, const struct bed *bed, const struct sheet *sheet) {
    const struct outcome *o = bed->outcome;
    json_open(j, "peaks");
    json_peak(j, bed, sheet, "widest", FIGURE_WIDEST, &o->widest, 1);
    json_peak(j, bed, sheet, "narrowest", FIGURE_NARROWEST, &o->narrowest, 1);
    json_peak(j, bed, sheet, "longest", FIGURE_LONGEST, &o->longest, 1);
    json_peak(j, bed, sheet, "shortest", FIGURE_SHORTEST, &o->shortest, 1);
    json_peak(j, bed, sheet, "moment", FIGURE_MOMENT_PEAK, &o->moment, N_MM_PER_N_M);
    json_peak(j, bed, sheet, "force", FIGURE_FORCE, &o->force, 1);
    json_close(j);
}

static void json_strands(struct json *j, const struct bed *bed) {
    const struct frame *frame = bed->pattern->frame;
    json_open_rows(j, "strands");
    for (int s = 0; s < frame->strand_count; s++) {
        json_open_row(j);
        json_string(j, "id", frame->strands[s].id);
        json_range(j, "on_machine", bed->sweep->on_machine[0][s], 1);
        json_range(j, "off_machine", bed->sweep->off_machine[0][s], 1);
        if (bed->even != NULL && bed->even->result != EVEN_IMPOSSIBLE) {
            json_real(j, "even_pull", bed->even->exact[s]);
            json_real(j, "even_pull_set", bed->even->rounded[s]);
        }
        json_close(j);
    }
    json_close_rows(j);
}

static void json_supports(struct json *j, const struct bed *bed) {
    json_open_rows(j, "supports");
    for (int i = 0; i < bed->values.mount.count; i++) {
        const struct support *support = &bed->values.mount.at[i];
        json_open_row(j);
        json_real(j, "clock", support->clock);
        json_string(j, "side", support->side == SUPPORT_INSIDE ? "inside" : "outside");
        json_real(j, "stiffness", support->stiffness);
        json_close(j);
    }
    json_close_rows(j);
}

static void json_reals(struct json *j, const char *key, const double *values, int count) {
    json_open_list(j, key);
    for (int i = 0; i < count; i++)
        json_real(j, NULL, values[i]);
    json_close_list(j);
}

static void json_state(struct json *j, const struct bed *bed, const struct state *state,
                       bool mounted) {
    json_real(j, "width", state->width);
    json_real(j, "length", state->length);
    json_real(j, "moment", state->moment / N_MM_PER_N_M);
    json_string(j, "moment_by", node_id(bed, state->moment_node));
    if (mounted) json_reals(j, "supports", state->forces, bed->values.mount.count);
    json_reals(j, "tensions", state->tensions, bed->pattern->frame->strand_count);
}

/* The most the hoop is bent by until then: so, in turn, and what that changes. */
static void json_lead(struct json *j, const struct sweep *sweep) {
    json_open(j, "until_then");
    json_range(j, "moment", sweep->figures[0][FIGURE_MOMENT_PEAK], N_MM_PER_N_M);
    json_range(j, "in_turn", sweep->figures[1][FIGURE_MOMENT_PEAK], N_MM_PER_N_M);
    json_range(j, "difference", sweep->difference[FIGURE_MOMENT_PEAK], N_MM_PER_N_M);
    json_bool(j, "clear", sweep->differs[FIGURE_MOMENT_PEAK]);
    json_close(j);
}

static void json_pulls(struct json *j, const struct bed *bed, const struct sheet *sheet) {
    json_open_rows(j, "pulls");
    size_t far = 0;
    for (int i = 0; i < bed->job.count; i++) {
        const struct event *event = &bed->job.events[i];
        json_open_row(j);
        json_int(j, "step", step_of_event(bed, sheet, i));
        json_string(j, "do", event->kind == EVENT_PULL ? "pull" : "draw-back");
        json_string(j, "strand", bed->pattern->frame->strands[event->strand].id);
        json_real(j, event->kind == EVENT_PULL ? "tension" : "slip", event->amount);
        json_bool(j, "new_peak", is_new_peak(bed, i));
        if (far < bed->far_ahead.count && bed->far_ahead.at[far].event == i) {
            json_int(j, "ahead", bed->far_ahead.at[far].lead);
            json_lead(j, bed->far_ahead.at[far].until_then);
            far++;
        }
        json_state(j, bed, &bed->outcome->after[i], true);
        json_close(j);
    }
    json_close_rows(j);
}

static void json_even(struct json *j, const struct bed *bed) {
    static const char *const words[] = {"found", "not settled", "impossible"};
    if (bed->even == NULL) return;
    json_line(j);
    json_open(j, "even");
    json_string(j, "result", words[bed->even->result]);
    json_int(j, "limited", bed->even->limited);
    if (bed->even_sweep != NULL)
        for (int k = 0; k < 2; k++) {
            int figure = evenness_figure(k == 0 ? MAIN : CROSS, true, EVENNESS_DEVIATION);
            json_open(j, k == 0 ? "mains" : "crosses");
            json_range(j, "asked", bed->even_sweep->figures[0][figure], 1);
            json_range(j, "even", bed->even_sweep->figures[1][figure], 1);
            json_range(j, "difference", bed->even_sweep->difference[figure], 1);
            json_bool(j, "clear", bed->even_sweep->differs[figure]);
            json_close(j);
        }
    json_close(j);
}

void emit_bed_json(const struct bed *bed, struct output *out) {
    const struct sheet *sheet = sheet_of(bed->pattern, out->arena);
    struct json json, *j = &json;
    json_begin_text(j, out, "selvage-bed/1");
    json_line(j);
    json_string(j, "frame", bed->pattern->frame->name);
    json_string(j, "pattern", bed->pattern->name);
    if (bed->pattern->mirrored) json_bool(j, "mirrored", true);
    json_line(j);
    json_int(j, "sets", bed->sweep->sets);
    json_string(j, "varied", varied_words(bed->known, bed->sweep->sets, out->arena));
    json_string(j, "left_out", felt_left_out);
    json_facts(j, bed);
    json_line(j);
    json_evenness(j, bed, false);
    json_line(j);
    json_evenness(j, bed, true);
    json_line(j);
    json_peaks(j, bed, sheet);
    json_even(j, bed);
    json_strands(j, bed);
    json_supports(j, bed);
    json_pulls(j, bed, sheet);
    json_line(j);
    json_open(j, "afterwards");
    json_state(j, bed, &bed->outcome->off_machine, false);
    json_close(j);
    json_end_text(j);
}

/* ---- CSV ---- */

static void put_number(struct output *out, double value, int decimals) {
    put_char(out, ',');
    put_fixed(out, value, decimals);
}

static void put_state(const struct bed *bed, const struct state *state, bool mounted,
                      struct output *out) {
    put_number(out, state->width, 4);
    put_number(out, state->length, 4);
    put_number(out, state->moment / N_MM_PER_N_M, 4);
    put_format(out, ",%s", node_id(bed, state->moment_node));
    for (int i = 0; i < bed->values.mount.count; i++)
        put_number(out, mounted ? state->forces[i] : 0, 2);
    for (int s = 0; s < bed->pattern->frame->strand_count; s++)
        put_number(out, state->tensions[s], 3);
    put(out, "\r\n");
}

void emit_bed_csv(const struct bed *bed, struct output *out) {
    const struct frame *frame = bed->pattern->frame;
    const struct sheet *sheet = sheet_of(bed->pattern, out->arena);
    put(out, "step,do,strand,N,mm,new peak,width mm,length mm,moment N m,moment by");
    for (int i = 0; i < bed->values.mount.count; i++)
        put_format(out, ",%s N", support_words(&bed->values.mount.at[i], out->arena));
    for (int s = 0; s < frame->strand_count; s++)
        put_format(out, ",%s N", frame->strands[s].id);
    put(out, "\r\n");
    for (int i = 0; i < bed->job.count; i++) {
        const struct event *event = &bed->job.events[i];
        bool pull = event->kind == EVENT_PULL;
        put_format(out, "%d,%s,%s,", step_of_event(bed, sheet, i), pull ? "pull" : "draw-back",
                   frame->strands[event->strand].id);
        if (pull) put_fixed(out, event->amount, 3);
        put_char(out, ',');
        if (!pull) put_fixed(out, event->amount, 3);
        put_format(out, ",%s", is_new_peak(bed, i) ? "yes" : "");
        put_state(bed, &bed->outcome->after[i], true, out);
    }
    put(out, ",off the machine,,,,");
    put_state(bed, &bed->outcome->off_machine, false, out);
}
