/* The table of emitters. */
#include "emit/emit.h"

static const struct {
    void (*emit)(const struct pattern *pattern, struct output *out); /* NULL: the order graph */
    const char *suffix;
} emitters[SELVAGE_OUTPUTS] = {
    [SELVAGE_STEPS_TEXT] = {emit_steps_text, ".steps.txt"},
    [SELVAGE_STEPS_MARKDOWN] = {emit_steps_markdown, ".steps.md"},
    [SELVAGE_STEPS_CSV] = {emit_steps_csv, ".steps.csv"},
    [SELVAGE_DRAWING] = {emit_drawing, ".svg"},
    [SELVAGE_ORDER] = {NULL, ".dot"},
    [SELVAGE_EXPORT] = {emit_export, ".json"},
    [SELVAGE_PAGE] = {emit_page, ".html"},
};

bool emit_pattern(struct emission *emission, enum selvage_output output) {
    if (emitters[output].emit == NULL) return emit_order(emission);
    emitters[output].emit(emission->pattern, &emission->out);
    return true;
}

const char *emit_suffix(enum selvage_output output) { return emitters[output].suffix; }
