/* The emitters: each writes a finished pattern in one form. They find no faults. */
#ifndef SELVAGE_EMIT_EMIT_H
#define SELVAGE_EMIT_EMIT_H

#include "ground/output.h"
#include "pattern/pattern.h"
#include "selvage.h"

struct emission {
    const struct pattern *pattern;
    struct selvage_text previous; /* what the file held before; empty where nobody knows */
    struct output out;
};

/* False where a library that the output needs is not installed. */
bool emit_pattern(struct emission *emission, enum selvage_output output);
const char *emit_suffix(enum selvage_output output);

/* One file each, but for the steps. */
void emit_steps_text(const struct pattern *pattern, struct output *out);
void emit_steps_markdown(const struct pattern *pattern, struct output *out);
void emit_steps_csv(const struct pattern *pattern, struct output *out);
void emit_drawing(const struct pattern *pattern, struct output *out);
void emit_page(const struct pattern *pattern, struct output *out);
void emit_export(const struct pattern *pattern, struct output *out);
bool emit_order(struct emission *emission);

#endif
