#include "document/find_pictures.h"

#include <utility>

namespace scrapetrace::document {

namespace {

constexpr int kDeepest = 8;

double number(QPDFObjectHandle object) {
  return object.isNumber() ? object.getNumericValue() : 0;
}

// Interprets one content stream: tracks the matrix and collects the pictures.
class Painter : public QPDFObjectHandle::ParserCallbacks {
 public:
  Painter(const QPDFObjectHandle& resources, Matrix start, int depth, std::vector<ShownPicture>& shown)
      : resources_(resources), matrix_(start), depth_(depth), shown_(shown) {}

  void handleObject(QPDFObjectHandle object) override {
    if (object.isInlineImage()) shown_.push_back({QPDFObjectHandle::newNull(), matrix_});
    if (!object.isOperator()) {
      operands_.push_back(object);
      return;
    }
    run(object.getOperatorValue());
    operands_.clear();
  }
  void handleEOF() override {}

 private:
  void run(const std::string& command) {
    if (command == "q") {
      kept_.push_back(matrix_);
    } else if (command == "Q" && !kept_.empty()) {
      matrix_ = kept_.back();
      kept_.pop_back();
    } else if (command == "cm" && operands_.size() >= 6) {
      auto* o = operands_.data() + (operands_.size() - 6);
      matrix_ =
          then({number(o[0]), number(o[1]), number(o[2]), number(o[3]), number(o[4]), number(o[5])}, matrix_);
    } else if (command == "Do" && !operands_.empty() && operands_.back().isName()) {
      show(resources_.getKey("/XObject").getKeyIfDict(operands_.back().getName()));
    }
  }

  void show(QPDFObjectHandle object) {
    if (!object.isStream()) return;
    QPDFObjectHandle dictionary = object.getDict();
    if (dictionary.getKey("/Subtype").isNameAndEquals("/Image")) {
      shown_.push_back({object, matrix_});
      return;
    }
    if (!dictionary.getKey("/Subtype").isNameAndEquals("/Form") || depth_ >= kDeepest) return;
    Matrix form;
    if (QPDFObjectHandle m = dictionary.getKey("/Matrix"); m.isArray() && m.getArrayNItems() == 6) {
      form = {number(m.getArrayItem(0)), number(m.getArrayItem(1)), number(m.getArrayItem(2)),
              number(m.getArrayItem(3)), number(m.getArrayItem(4)), number(m.getArrayItem(5))};
    }
    QPDFObjectHandle own = dictionary.getKey("/Resources");
    Painter inner(own.isDictionary() ? own : resources_, then(form, matrix_), depth_ + 1, shown_);
    QPDFObjectHandle::parseContentStream(object, &inner);
  }

  QPDFObjectHandle resources_;
  Matrix matrix_;
  int depth_;
  std::vector<ShownPicture>& shown_;
  std::vector<Matrix> kept_;
  std::vector<QPDFObjectHandle> operands_;
};

}  // namespace

std::vector<ShownPicture> find_pictures(QPDFPageObjectHelper page) {
  std::vector<ShownPicture> shown;
  QPDFObjectHandle resources = page.getAttribute("/Resources", false);
  Painter painter(resources.isDictionary() ? resources : QPDFObjectHandle::newDictionary(), {}, 0, shown);
  page.parseContents(&painter);
  return shown;
}

}  // namespace scrapetrace::document
