/* Pages of SVG as one PDF, by librsvg and cairo, which are loaded here and nowhere else: only the
 * verbs that print need them. Knows no patterns. */
#ifndef SELVAGE_CLI_PDF_H
#define SELVAGE_CLI_PDF_H

#include "selvage.h"

struct pdf;

enum pdf_result { PDF_DONE, PDF_NO_LIBRARY, PDF_NO_MEMORY, PDF_FAILED };

/* An empty document, or NULL with what went wrong. `title` is UTF-8. */
struct pdf *pdf_open(const char *title, enum pdf_result *result);

/* One more page, of that size in mm; the SVG is scaled to it. */
enum pdf_result pdf_add(struct pdf *pdf, struct selvage_text svg, double width, double height);

/* Closes the document; its bytes live until pdf_free. */
enum pdf_result pdf_finish(struct pdf *pdf, struct selvage_text *bytes);
void pdf_free(struct pdf *pdf);

#endif
