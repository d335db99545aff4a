/* What each verb does with the files or codes it is given. */
#ifndef SELVAGE_CLI_VERBS_H
#define SELVAGE_CLI_VERBS_H

#include "cli/arguments.h"

enum exit_status run_check(const struct arguments *arguments);
enum exit_status run_explain(const struct arguments *arguments);
enum exit_status run_emit(const struct arguments *arguments);
enum exit_status run_compare(const struct arguments *arguments);
enum exit_status run_build(const struct arguments *arguments);
enum exit_status run_catalogue(const struct arguments *arguments);
enum exit_status run_format(const struct arguments *arguments);
enum exit_status run_expand(const struct arguments *arguments);
enum exit_status run_chart(const struct arguments *arguments); /* and sheet */

#endif
