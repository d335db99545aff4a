/* Every line "mains from head, M1..M6 on each side" becomes what it insists on, followed by legs of
 * single ends made from the acts; all else is copied, comments too. Where a pattern is mirrored its
 * words for sides are exchanged on the way. */
#include "resolve/expand.h"

#include "pattern/written.h"

#include <string.h>

struct expansion expansion_of(struct arena *arena, const struct source *source,
                              const struct report *report) {
    return (struct expansion){
        .source = source, .report = report, .out = output_to(arena), .done = source->begins};
}

/* ---- copying ---- */

static bool in_word(char c) { return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '-'; }

/* The same bytes, but left for right and right for left. Where it is called there are neither names
 * nor titles, so every such word outside a comment is a side, or the end on it. */
static void put_mirrored(struct output *out, const char *bytes, size_t length) {
    bool comment = false;
    for (size_t at = 0, end; at < length; at = end) {
        for (end = at + 1; in_word(bytes[at]) && end < length && in_word(bytes[end]); end++)
            ;
        comment = bytes[at] == '#' || (comment && bytes[at] != '\n');
        bool left = end - at == 4 && memcmp(bytes + at, "left", 4) == 0,
             right = end - at == 5 && memcmp(bytes + at, "right", 5) == 0;
        if (!comment && (left || right))
            put(out, left ? "right" : "left");
        else
            put_bytes(out, bytes + at, end - at);
    }
}

static void copy_to(struct expansion *x, size_t place) {
    const char *bytes = x->source->bytes + x->done;
    if (x->mirrored)
        put_mirrored(&x->out, bytes, place - x->done);
    else
        put_bytes(&x->out, bytes, place - x->done);
    x->done = place;
}

static size_t offset(const struct expansion *x, uint32_t position) {
    return position - x->source->base;
}

/* Copies the comments between here and a place, where blanks and comments are all there is. */
static void copy_comments(struct expansion *x, size_t place) {
    const char *bytes = x->source->bytes;
    bool own_line = x->in_comment;
    while (x->done < place) {
        own_line |= bytes[x->done] == '\n';
        if (bytes[x->done] != '#') {
            x->done++;
            continue;
        }
        put_char(&x->out, own_line ? '\n' : ' ');
        size_t end = x->done;
        while (end < x->source->length && bytes[end] != '\n')
            end++;
        copy_to(x, end);
        x->in_comment = true;
    }
}

/* Copies the comment on the rest of this line, if there is one. */
static void copy_comment_behind(struct expansion *x) {
    const char *bytes = x->source->bytes;
    size_t at = x->done;
    while (bytes[at] == ' ' || bytes[at] == '\t')
        at++;
    if (bytes[at] == '#') copy_comments(x, at + 1);
    x->in_comment = false;
}

/* Passes over the comma that comes next, and the blanks before it. */
static void skip_comma(struct expansion *x) {
    while (x->source->bytes[x->done] != ',')
        x->done++;
    x->done++;
}

/* ---- a line that is a leg of two ends ---- */

static const struct leg *leg_of(const struct pattern *pattern, const struct tree_line *line) {
    for (size_t i = 0; i < pattern->legs.count; i++)
        if (pattern->legs.at[i].both && pattern->legs.at[i].span.start == line->span.start)
            return &pattern->legs.at[i];
    return NULL;
}

/* What a mains line says of pulls ahead limits all mains once it is no leg any more, and may be
 * said once: it stays where that is so and they keep to it. */
static bool keeps_ahead(const struct pattern *pattern, const struct leg *leg, bool said) {
    struct lead lead;
    return !said && !pattern->intents.ahead_given &&
           !lead_beyond(pattern, leg->ahead_first, leg->ahead_then, &lead);
}

static bool stays(const struct tree_mains_part *part, bool ahead_stays) {
    if (part->kind == MAINS_FIRST) return true;
    bool ahead = part->kind == MAINS_OPTION && part->option.kind == OPTION_PULL_AHEAD;
    return ahead && ahead_stays;
}

static bool any_stays(const struct tree_mains_part *part, bool ahead_stays) {
    for (; part != NULL; part = part->next)
        if (stays(part, ahead_stays)) return true;
    return false;
}

/* Copies the parts that stay, with one comma before each, and every comment between. */
static void copy_parts(struct expansion *x, const struct tree_line *line, bool ahead_stays) {
    copy_to(x, offset(x, line->as.mains.from.span.end));
    bool comma = false;
    for (const struct tree_mains_part *p = line->as.mains.parts; p != NULL; p = p->next) {
        skip_comma(x);
        if (!comma && any_stays(p, ahead_stays)) {
            put_char(&x->out, ',');
            comma = true;
        }
        copy_comments(x, offset(x, p->span.start));
        if (stays(p, ahead_stays)) {
            put_char(&x->out, x->in_comment ? '\n' : ' ');
            copy_to(x, offset(x, p->span.end));
            x->in_comment = comma = false;
        }
        x->done = offset(x, p->span.end);
    }
    copy_comment_behind(x);
}

/* The comments that set something for this leg and not for all of the definition: every leg that
 * comes of it is to have them. */
static struct leg_comments settings_of(const struct expansion *x, const struct leg *leg,
                                       uint32_t definition) {
    struct output above = output_to(x->out.arena);
    const char *behind = "";
    uint32_t before = 0;
    for (size_t i = 0; i < x->report->settings.count; i++) {
        const struct setting *setting = &x->report->settings.at[i];
        bool covers = setting->covers.start > definition &&
                      setting->covers.start <= leg->span.start &&
                      setting->covers.end > leg->span.start;
        if (!covers || setting->span.start == before) continue;
        before = setting->span.start; /* of one comment for several codes */
        if (behind[0] != '\0') put_format(&above, "\n%s", behind + 1);
        behind = format(x->out.arena, " %.*s", (int)(setting->span.end - setting->span.start),
                        x->source->bytes + offset(x, setting->span.start));
    }
    return (struct leg_comments){output_text(&above), behind};
}

/* The acts of a leg stand in a row. */
static void write_acts_of(struct expansion *x, const struct pattern *pattern, const struct leg *leg,
                          uint32_t definition) {
    size_t first = 0, count = pattern->acts.count;
    while (first < count && pattern->acts.at[first].span.start != leg->span.start)
        first++;
    size_t end = first;
    while (end < count && pattern->acts.at[end].span.start == leg->span.start)
        end++;
    write_legs(pattern, first, end, settings_of(x, leg, definition), &x->out);
}

/* Copies a line that can speak of sides; a long side that was assumed is said. */
static void copy_mirrored(struct expansion *x, const struct tree_line *line,
                          const struct pattern *pattern) {
    bool speaks = line->kind == LINE_PIECES || line->kind == LINE_TENSION ||
                  line->kind == LINE_LEG || line->kind == LINE_MAINS || line->kind == LINE_HOLD ||
                  line->kind == LINE_CROSSES;
    if (!speaks) return;
    copy_to(x, offset(x, line->span.start));
    x->mirrored = true;
    copy_to(x, offset(x, line->span.end));
    x->mirrored = false;
    bool assumed = line->kind == LINE_PIECES && line->as.pieces.count == 1 &&
                   line->as.pieces.long_side.side == SIDE_UNSAID;
    if (assumed) put_format(&x->out, ", long side %s", side_word(pattern->intents.long_side.side));
}

/* ---- legs that were found ---- */

/* How many acts a leg comes to. */
static size_t acts_of_leg(const struct leg *leg) {
    size_t acts = 0;
    for (size_t i = 0; i < leg->items.count; i++) {
        const struct leg_item *item = &leg->items.at[i];
        size_t each = item->kind != LEG_RUN || item->run.verb != DO_BOTH ? 1 : 2;
        acts += item->kind == LEG_RUN ? each * (size_t)item->run.count : 1;
    }
    return acts;
}

/* All legs in the order in which they are done, each that was found with a comment why. */
static void write_all_legs(struct expansion *x, const struct pattern *pattern,
                           uint32_t definition) {
    size_t act = 0;
    for (size_t i = 0; i < pattern->legs.count; i++) {
        const struct leg *leg = &pattern->legs.at[i];
        const char *why = pattern->found->why[i];
        struct leg_comments comments =
            why != NULL ? (struct leg_comments){"", format(x->out.arena, "  # %s", why)}
                        : settings_of(x, leg, definition);
        size_t end = act + acts_of_leg(leg);
        write_legs(pattern, act, end, comments, &x->out);
        act = end;
    }
}

static size_t skip_blanks(const char *bytes, size_t at) {
    while (bytes[at] == ' ' || bytes[at] == '\t' || bytes[at] == '\r')
        at++;
    return at;
}

/* Whether a comment that sets something begins here: it goes with its leg. */
static bool is_setting(const struct expansion *x, size_t at) {
    for (size_t i = 0; i < x->report->settings.count; i++)
        if (offset(x, x->report->settings.at[i].span.start) == at) return true;
    return false;
}

/* Copies what stands between two lines but for settings on lines of their own. */
static void copy_between(struct expansion *x, const struct tree_line *before,
                         const struct tree_line *line) {
    const char *bytes = x->source->bytes;
    size_t end = offset(x, line->span.start);
    if (before != NULL && x->done < offset(x, before->span.end))
        copy_to(x, offset(x, before->span.end));
    for (size_t at = x->done; at < end;) {
        size_t comment = skip_blanks(bytes, at);
        bool setting = bytes[at - 1] == '\n' && bytes[comment] == '#' && is_setting(x, comment);
        if (setting) copy_to(x, at);
        while (at < end && bytes[at] != '\n')
            at++;
        at++;
        if (setting) x->done = at;
    }
    copy_to(x, end);
}

/* Passes over a line with the settings above it, a semicolon and a setting behind it, and over the
 * end of the line where nothing else stands there. */
static void leave_out(struct expansion *x, const struct tree_line *before,
                      const struct tree_line *line) {
    const char *bytes = x->source->bytes;
    copy_between(x, before, line);
    x->done = offset(x, line->span.end);
    size_t at = skip_blanks(bytes, x->done);
    if (bytes[at] == ';') {
        x->done = at + 1;
        at = skip_blanks(bytes, x->done);
    }
    if (bytes[at] == '#' && is_setting(x, at))
        while (at < x->source->length && bytes[at] != '\n')
            at++;
    if (bytes[at] == '\n') x->done = at + 1;
}

/* What was found besides legs is said: the long side, and where the mains begin. */
static void expand_found(struct expansion *x, const struct tree_definition *definition,
                         const struct pattern *pattern) {
    const struct intents *intents = &pattern->intents;
    const struct tree_line *last = NULL;
    for (const struct tree_line *line = definition->lines; line != NULL; line = line->next) {
        const struct leg *leg = line->kind == LINE_MAINS ? leg_of(pattern, line) : NULL;
        const struct tree_line *before = last;
        last = line;
        if (line->kind == LINE_LEG || line->kind == LINE_FIND) {
            leave_out(x, before, line);
            continue;
        }
        if (leg == NULL) {
            if (pattern->mirrored) copy_mirrored(x, line, pattern);
            bool unsaid = line->kind == LINE_PIECES && intents->pieces == 1 &&
                          line->as.pieces.long_side.side == SIDE_UNSAID && !pattern->mirrored;
            if (unsaid) {
                copy_to(x, offset(x, line->span.end));
                put_format(&x->out, ", long side %s", side_word(intents->long_side.side));
            }
            continue;
        }
        copy_to(x, offset(x, line->span.start));
        x->mirrored = pattern->mirrored;
        copy_parts(x, line, keeps_ahead(pattern, leg, false));
        x->mirrored = false;
    }
    if (x->done < offset(x, last->span.end)) copy_to(x, offset(x, last->span.end));
    copy_comment_behind(x);
    while (x->out.length > 0 && strchr(" \t\r\n", x->out.at[x->out.length - 1]) != NULL)
        x->out.length--;
    if (!span_given(intents->mains_from.span) && intents->mains_from.place != PLACE_UNSAID)
        put_format(&x->out, "\nmains from %s", place_word(intents->mains_from.place));
    write_all_legs(x, pattern, definition->span.start);
    put_char(&x->out, '\n');
}

void expand_pattern(struct expansion *x, const struct tree_definition *definition,
                    const struct pattern *pattern) {
    if (pattern->found != NULL) {
        expand_found(x, definition, pattern);
        return;
    }
    bool said = false;
    for (const struct tree_line *line = definition->lines; line != NULL; line = line->next) {
        const struct leg *leg = line->kind == LINE_MAINS ? leg_of(pattern, line) : NULL;
        if (leg == NULL) {
            if (pattern->mirrored) copy_mirrored(x, line, pattern);
            continue;
        }
        bool ahead_stays = keeps_ahead(pattern, leg, said);
        copy_to(x, offset(x, line->span.start));
        x->mirrored = pattern->mirrored;
        copy_parts(x, line, ahead_stays);
        x->mirrored = false;
        write_acts_of(x, pattern, leg, definition->span.start);
        said |= ahead_stays;
    }
}

void expansion_end(struct expansion *x) { copy_to(x, x->source->length); }
