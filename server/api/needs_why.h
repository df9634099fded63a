/* Why a bread day needs so much of an ingredient. */
#ifndef MORROWLOAF_API_NEEDS_WHY_H
#define MORROWLOAF_API_NEEDS_WHY_H

#include "api/reckon.h"

/* Answers with the tree; day has the demands of the bread day. */
bool answer_need_why(struct request *request, const struct day *day, date bread_day,
                     const char *code);

#endif
