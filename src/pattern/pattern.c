/* Look-ups in the pattern model. */
#include "pattern/pattern.h"

#include "ground/output.h"

int pattern_end(const struct pattern *pattern, enum end_name name) {
    for (int i = 0; i < pattern->end_count; i++)
        if (pattern->ends[i].name == name) return i;
    return NO_END;
}

int other_end(const struct pattern *pattern, int end) {
    for (int i = 0; i < pattern->end_count; i++)
        if (i != end && pattern->ends[i].string == pattern->ends[end].string) return i;
    return NO_END;
}

/* Whether an act pulls a main that counts for the lead of one end over the other. */
static bool counts_for_lead(const struct pattern *pattern, const struct act *act) {
    const struct end *end = &pattern->ends[act->end];
    if (act->kind != ACT_PULL || end->string != 0) return false;
    const struct strand *strand = &pattern->frame->strands[end->passes.at[act->pass].strand];
    return strand->kind == MAIN && strand->number > 0;
}

bool lead_beyond(const struct pattern *pattern, int first, int then, struct lead *lead) {
    int pulled[3] = {0}, last = NO_END;
    bool changed = false;
    for (size_t i = 0; i < pattern->acts.count; i++) {
        const struct act *act = &pattern->acts.at[i];
        if (!counts_for_lead(pattern, act)) continue;
        if (last != NO_END && last != act->end) changed = true;
        last = act->end;
        pulled[act->end]++;
        *lead = (struct lead){.act = act,
                              .lead = pulled[act->end] - pulled[other_end(pattern, act->end)],
                              .limit = changed ? then : first};
        if (lead->lead > lead->limit) return true;
    }
    return false;
}

bool pulled_before_knot(const struct pattern *pattern, int strand) {
    int e = pattern->end_of[strand];
    if (e == NO_END) return false;
    const struct end *end = &pattern->ends[e];
    return end->tie.given && pattern->pass_of[strand] == (int)end->passes.count - 1;
}

static bool has_room(const struct pattern *pattern, int hole, const bool *stands) {
    if (hole == NO_HOLE || !pattern->frame->holes[hole].tie_off) return false;
    for (int e = 0; e < pattern->end_count; e++) {
        const struct end *end = &pattern->ends[e];
        if ((end->tie.given && end->tie.hole == hole) ||
            (end->start.given && end->start.hole == hole))
            return false;
    }
    int main = hole_main(pattern->frame, hole);
    return main != NO_STRAND && (stands == NULL || stands[main]);
}

const char *knot_room_words(const struct pattern *pattern, struct arena *arena,
                            const bool *stands) {
    const struct frame *frame = pattern->frame;
    struct output out = output_to(arena);
    for (int i = 0; i < frame->hole_count; i++) {
        const struct hole *hole = &frame->holes[i];
        if (!has_room(pattern, i, stands)) continue;
        int opposite = frame_hole(frame, other_side(hole->side), hole->number, hole->place);
        bool both = has_room(pattern, opposite, stands);
        if (both && hole->side == SIDE_LEFT) continue;
        put_format(&out, "%s%s", out.length > 0 ? ", " : "",
                   both && hole->side == SIDE_RIGHT ? hole->id + 1 : hole->name);
    }
    return out.length > 0 ? output_text(&out) : "none";
}
