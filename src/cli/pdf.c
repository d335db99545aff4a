/* The few functions of librsvg (2.52 or later), cairo (1.16 or later) and GObject that it takes,
 * by declarations of our own, so that nothing but the libraries themselves need be installed.
 * Fonts are embedded by cairo; the same SVG gives the same bytes where fonts and libraries are the
 * same. Memory that fails inside them is theirs to tell: GLib ends the process. */
#include "cli/pdf.h"

#include <dlfcn.h>
#include <stdlib.h>
#include <string.h>

typedef struct _RsvgHandle RsvgHandle;
typedef struct _cairo cairo_t;
typedef struct _cairo_surface cairo_surface_t;
typedef int cairo_status_t;
typedef cairo_status_t cairo_write_func_t(void *closure, const unsigned char *data,
                                          unsigned int length);
typedef struct {
    double x, y, width, height;
} RsvgRectangle;

enum { STATUS_SUCCESS = 0, STATUS_NO_MEMORY = 1, STATUS_WRITE_ERROR = 11 };
enum { METADATA_TITLE = 0, METADATA_CREATE_DATE = 5 };

struct libraries {
    RsvgHandle *(*read)(const unsigned char *data, size_t length, void **error);
    int (*render)(RsvgHandle *handle, cairo_t *cairo, const RsvgRectangle *viewport, void **error);
    void (*unref)(void *object);
    cairo_surface_t *(*surface)(cairo_write_func_t *write, void *closure, double width,
                                double height);
    void (*set_size)(cairo_surface_t *surface, double width, double height);
    void (*set_metadata)(cairo_surface_t *surface, int which, const char *text);
    void (*finish)(cairo_surface_t *surface);
    void (*destroy_surface)(cairo_surface_t *surface);
    cairo_status_t (*surface_status)(cairo_surface_t *surface);
    cairo_t *(*create)(cairo_surface_t *surface);
    void (*show_page)(cairo_t *cairo);
    cairo_status_t (*status)(cairo_t *cairo);
    void (*destroy)(cairo_t *cairo);
};

struct pdf {
    struct libraries use;
    cairo_surface_t *surface;
    char *bytes;
    size_t length, room;
    bool lacked_memory;
};

/* ---- the libraries ---- */

static bool find_function(void *library, const char *name, void *function) {
    void *found = dlsym(library, name);
    memcpy(function, &found, sizeof found);
    return found != NULL;
}

static bool find_rsvg(void *library, struct libraries *use) {
    return find_function(library, "rsvg_handle_new_from_data", &use->read) &&
           find_function(library, "rsvg_handle_render_document", &use->render);
}

static bool find_cairo(void *library, struct libraries *use) {
    return find_function(library, "cairo_pdf_surface_create_for_stream", &use->surface) &&
           find_function(library, "cairo_pdf_surface_set_size", &use->set_size) &&
           find_function(library, "cairo_pdf_surface_set_metadata", &use->set_metadata) &&
           find_function(library, "cairo_surface_finish", &use->finish) &&
           find_function(library, "cairo_surface_destroy", &use->destroy_surface) &&
           find_function(library, "cairo_surface_status", &use->surface_status) &&
           find_function(library, "cairo_create", &use->create) &&
           find_function(library, "cairo_show_page", &use->show_page) &&
           find_function(library, "cairo_status", &use->status) &&
           find_function(library, "cairo_destroy", &use->destroy);
}

static bool find_gobject(void *library, struct libraries *use) {
    return find_function(library, "g_object_unref", &use->unref);
}

/* They stay loaded once they are: GLib cannot be unloaded. */
static bool load(struct libraries *use) {
    static const struct {
        const char *name;
        bool (*find)(void *library, struct libraries *use);
    } wanted[] = {{"librsvg-2.so.2", find_rsvg},
                  {"libcairo.so.2", find_cairo},
                  {"libgobject-2.0.so.0", find_gobject}};
    for (size_t i = 0; i < sizeof wanted / sizeof *wanted; i++) {
        void *library = dlopen(wanted[i].name, RTLD_LAZY | RTLD_LOCAL | RTLD_NODELETE);
        if (library == NULL) return false;
        bool found = wanted[i].find(library, use);
        dlclose(library);
        if (!found) return false;
    }
    return true;
}

/* ---- the document ---- */

static bool make_room(struct pdf *pdf, size_t more) {
    if (more <= pdf->room - pdf->length) return true;
    size_t room = pdf->room + pdf->room / 2 + more + 65536;
    char *grown = realloc(pdf->bytes, room);
    pdf->lacked_memory |= grown == NULL;
    if (grown == NULL) return false;
    pdf->bytes = grown;
    pdf->room = room;
    return true;
}

static cairo_status_t write_part(void *closure, const unsigned char *data, unsigned int length) {
    struct pdf *pdf = closure;
    if (!make_room(pdf, length)) return STATUS_WRITE_ERROR;
    memcpy(pdf->bytes + pdf->length, data, length);
    pdf->length += length;
    return STATUS_SUCCESS;
}

static enum pdf_result judge(const struct pdf *pdf, cairo_status_t status) {
    if (status == STATUS_SUCCESS) return PDF_DONE;
    return pdf->lacked_memory || status == STATUS_NO_MEMORY ? PDF_NO_MEMORY : PDF_FAILED;
}

static double points(double mm) { return mm * 72 / 25.4; }

struct pdf *pdf_open(const char *title, enum pdf_result *result) {
    struct pdf *pdf = calloc(1, sizeof *pdf);
    *result = PDF_NO_MEMORY;
    if (pdf == NULL) return NULL;
    *result = PDF_NO_LIBRARY;
    if (load(&pdf->use)) {
        pdf->surface = pdf->use.surface(write_part, pdf, points(210), points(297));
        *result = judge(pdf, pdf->use.surface_status(pdf->surface));
    }
    if (*result != PDF_DONE) {
        pdf_free(pdf);
        return NULL;
    }
    /* A fixed date, so that what is the same is the same to the byte. */
    pdf->use.set_metadata(pdf->surface, METADATA_CREATE_DATE, "2000-01-01T00:00:00Z");
    pdf->use.set_metadata(pdf->surface, METADATA_TITLE, title);
    return pdf;
}

static enum pdf_result draw(struct pdf *pdf, RsvgHandle *handle, double width, double height) {
    const RsvgRectangle page = {0, 0, width, height};
    pdf->use.set_size(pdf->surface, width, height);
    cairo_t *cairo = pdf->use.create(pdf->surface);
    bool drawn = pdf->use.render(handle, cairo, &page, NULL) != 0;
    if (drawn) pdf->use.show_page(cairo);
    enum pdf_result result = judge(pdf, pdf->use.status(cairo));
    pdf->use.destroy(cairo);
    return result == PDF_DONE && !drawn ? PDF_FAILED : result;
}

enum pdf_result pdf_add(struct pdf *pdf, struct selvage_text svg, double width, double height) {
    RsvgHandle *handle = pdf->use.read((const unsigned char *)svg.bytes, svg.length, NULL);
    if (handle == NULL) return PDF_FAILED;
    enum pdf_result result = draw(pdf, handle, points(width), points(height));
    pdf->use.unref(handle);
    return result;
}

enum pdf_result pdf_finish(struct pdf *pdf, struct selvage_text *bytes) {
    pdf->use.finish(pdf->surface);
    *bytes = (struct selvage_text){pdf->bytes, pdf->length};
    return judge(pdf, pdf->use.surface_status(pdf->surface));
}

void pdf_free(struct pdf *pdf) {
    if (pdf == NULL) return;
    if (pdf->surface != NULL) pdf->use.destroy_surface(pdf->surface); /* may still write */
    free(pdf->bytes);
    free(pdf);
}
